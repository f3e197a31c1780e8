"""Many houses in a moment: schemas that are copies of one, for measurements that need a thousand."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import psycopg

from honeyhold.house.clock import machine_time
from honeyhold.house.many_houses import Houses
from honeyhold.records.house_register import HouseRegister, Kept
from honeyhold.records.shared_database import SharedDatabase
from replication.busy_house import Writer, with_goods, writer_of

FIRST: Final = "house_1"
"""The schema of the house that all others are copies of: the first that a register gives."""
TABLES: Final = f"SELECT tablename FROM pg_tables WHERE schemaname = '{FIRST}' ORDER BY tablename"
COUNTED: Final = f"SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = '{FIRST}' AND is_identity = 'YES'"
INDEXES: Final = f"SELECT indexdef FROM pg_indexes WHERE schemaname = '{FIRST}'"
REFERENCES: Final = f"""
SELECT t.relname, pg_get_constraintdef(c.oid) FROM pg_constraint AS c JOIN pg_class AS t ON t.oid = c.conrelid
JOIN pg_namespace AS n ON n.oid = t.relnamespace WHERE n.nspname = '{FIRST}' AND c.contype = 'f'"""
COUNTS_FROM: Final = 10_000
"""Where a copy's own numbering of rows goes on."""


def first_house(address: str, folder: Path, devices: int = 1) -> list[Writer]:
    """The house that the others are copies of, in an empty database, with goods and so many devices."""
    shared = SharedDatabase(address)
    houses = Houses(shared, folder)
    houses.register.add("first", machine_time())
    houses.read_register()
    with houses.lent("first") as house:
        with_goods(house)
        writers = [writer_of(house, f"Phone {number}", number) for number in range(devices)]
    houses.close()
    shared.close()
    with psycopg.connect(address) as connection:
        connection.execute(f"DELETE FROM {FIRST}.meta WHERE key = 'history'")  # a copy is no house that was put back
        connection.execute(f"GRANT USAGE ON SCHEMA {FIRST} TO PUBLIC; GRANT SELECT ON ALL TABLES IN SCHEMA {FIRST} TO PUBLIC")
    return writers


def houses_like_it(address: str, count: int) -> list[Kept]:
    """So many more, each with a schema and a role of its own, as the register makes them; whoever logs in is a superuser."""
    shared = SharedDatabase(address)
    register = HouseRegister(shared)
    made = [register.add(f"house-{number}", machine_time()) for number in range(count)]
    shared.close()
    with psycopg.connect(address, autocommit=True) as connection:
        copying = "; ".join(_copying(connection))
        for kept in made:
            its_own = copying.replace("NEW.", f"{kept.owner.schema}.")
            connection.execute(f"BEGIN; SET ROLE {kept.owner.role}; {its_own}; RESET ROLE; COMMIT")
        connection.execute("VACUUM ANALYZE")
    return made


def _copying(connection: Any) -> list[str]:
    counted = dict(connection.execute(COUNTED).fetchall())
    made = []
    for (table,) in connection.execute(TABLES).fetchall():
        made.append(f'CREATE TABLE NEW."{table}" (LIKE {FIRST}."{table}" INCLUDING ALL)')
        made.append(f'INSERT INTO NEW."{table}" OVERRIDING SYSTEM VALUE SELECT * FROM {FIRST}."{table}"')
        if table in counted:
            made.append(f'ALTER TABLE NEW."{table}" ALTER COLUMN {counted[table]} RESTART WITH {COUNTS_FROM}')
    for table, text in connection.execute(REFERENCES).fetchall():
        made.append(f'ALTER TABLE NEW."{table}" ADD {text.replace(f"{FIRST}.", "NEW.")}')
    return made
