"""People who were joined: whom a person is the same as in the end, and all who are the same."""

from __future__ import annotations

from honeyhold.records.models import Person
from honeyhold.records.store import Records


def chain_of(records: Records, person: str) -> list[str]:
    """This person, whom they are the same as, whom that one is the same as, and so on; nobody twice, whatever the rows say."""
    chain: list[str] = []
    one: str | None = person
    while one is not None and one not in chain:
        chain.append(one)
        row = records.row(Person, one)
        one = row["same_as"] if row else None
    return chain


def first_of(records: Records, person: str) -> str:
    """The one of whom all the others are the same."""
    return chain_of(records, person)[-1]


def all_same(records: Records, person: str) -> list[str]:
    """Ids of everybody who is the same as this person, this one first."""
    seen: dict[str, None] = {}
    waiting = [first_of(records, person)]
    while waiting:
        one = waiting.pop()
        if one not in seen:
            seen[one] = None
            waiting += [row["id"] for row in records.rows_of(Person, "same_as", one)]
    return [person, *(one for one in seen if one != person)]
