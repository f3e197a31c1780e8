"""A database of the tests' own that keeps several small houses; whoever keeps the server logs in as a role that is no superuser."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import postgresql_server
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.records.house_register import HouseRegister
from honeyhold.records.shared_database import SharedDatabase
from postgresql_server import Cluster
from replication.houses import MONDAY, Watch, movement

KEEPER = "keeper_of_houses"


def shared_address(server: Cluster) -> str:
    """A new, empty database that belongs to the role which keeps the server."""
    if not server.run(f"SELECT 1 FROM pg_roles WHERE rolname = '{KEEPER}'"):
        server.run(f"CREATE ROLE {KEEPER} LOGIN CREATEROLE")
    address = server.database()
    server.run(f"ALTER DATABASE {server.made[-1]} OWNER TO {KEEPER}")
    return address.replace("honeyhold@", f"{KEEPER}@")


@contextmanager
def database() -> Iterator[str]:
    """Such a database, and nothing of it afterwards: roles belong to the whole server, so they go one by one."""
    server = postgresql_server.needed()
    with postgresql_server.swept():
        address = shared_address(server)
        name = server.made[-1]
        number = server.run(f"SELECT oid FROM pg_database WHERE datname = '{name}'")[0][0]
        try:
            yield address
        finally:
            server.drop([name])
            for (role,) in server.run(f"SELECT rolname FROM pg_roles WHERE rolname LIKE 'honeyhold\\_{number}\\_%'"):
                server.run(f'DROP ROLE "{role}"')


@contextmanager
def houses(address: str, data: Path, *names: str, now: Callable[[], datetime] | None = None, **more: float) -> Iterator[Houses]:
    """Open houses of these names, each with forty bars on the shelf where it is new."""
    shared = SharedDatabase(address)
    made = Houses(shared, data, now=now or Watch(), **more)  # type: ignore[arg-type]
    try:
        register = HouseRegister(shared)
        for name in names:
            register.add(name, MONDAY)
        made.read_register()
        for name in names:
            with made.lent(name) as house:
                furnish(house, name)
        yield made
    finally:
        made.close()
        shared.close()


def furnish(house: House, name: str) -> None:
    """Forty bars and the house's own name."""
    house.write("set_house", [{"table": "setting", "id": "name", "value": f"House of {name}"}])
    house.write("set_good", [{"table": "good", "id": "bar", "name": "bar", "kind": "wax", "price_cents": 300}])
    house.write("buy", [movement("bar", 40)])
