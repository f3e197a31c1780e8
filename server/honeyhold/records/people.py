"""People who were joined: whom a person is the same as in the end, and all who are the same."""

from __future__ import annotations

from honeyhold.records.models import Person
from honeyhold.records.store import Records


def first_of(records: Records, person: str) -> str:
    """The one of whom all the others are the same."""
    for _ in range(len_of_chain(records)):
        row = records.row(Person, person)
        if row is None or row["same_as"] is None:
            return person
        person = row["same_as"]
    return person


def len_of_chain(records: Records) -> int:
    """No chain is longer than there are joined people."""
    return 1 + int(records.sql("SELECT COUNT(*) FROM person WHERE same_as IS NOT NULL").fetchone()[0])


def all_same(records: Records, person: str) -> list[str]:
    """Ids of everybody who is the same as this person, this one first."""
    found = [person]
    first = first_of(records, person)
    waiting = [first]
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.append(one)
        waiting += [row["id"] for row in records.rows_of(Person, "same_as", one)]
    return found
