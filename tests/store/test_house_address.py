"""Goal: a device hands its entries to an address within a house and to no other. Method: the browser's own module, in Node."""

from __future__ import annotations

from goods.in_node import in_node

READ = """asked.map((text) => { try { return here.addressIn(text, 'bees.example.org'); } catch (error) { return error.field; } })"""


def test_only_an_address_within_a_house_is_one() -> None:
    right = {
        "https://192.168.1.20:8471/#enrol=ABCD-EFGH": ("https://192.168.1.20:8471", "https://192.168.1.20:8471/#enrol=ABCD-EFGH"),
        " 10.0.0.7:8471 ": ("https://10.0.0.7:8471", "https://10.0.0.7:8471/"),
        "http://localhost:8475": ("http://localhost:8475", "http://localhost:8475/"),
        "https://Honeyhouse.local:8471/#settings": ("https://honeyhouse.local:8471", "https://honeyhouse.local:8471/"),
        "https://172.31.0.1": ("https://172.31.0.1", "https://172.31.0.1/"),
        "https://bees.example.org": ("https://bees.example.org", "https://bees.example.org/"),
    }
    found = in_node("store/house-address.js", READ, list(right))
    assert [(one["address"], one["link"]) for one in found] == list(right.values())


def test_nothing_of_the_internet_and_no_nonsense() -> None:
    wrong = [
        "https://example.org", "https://192.168.1.20.example.org", "https://localhost.example.org", "https://172.32.0.1", "https://8.8.8.8",
        "not an address", "", "javascript:alert(1)", "ftp://10.0.0.7", "https://bees.example.org@203.0.113.7/", "https://local",
    ]  # fmt: skip
    assert in_node("store/house-address.js", READ, wrong) == ["address"] * len(wrong)
