"""`honeyhold host`: one server for many houses, behind a proxy that speaks TLS."""

from __future__ import annotations

import signal
import socket
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from types import FrameType
from typing import Any, Final

from werkzeug.middleware.proxy_fix import ProxyFix

from honeyhold.api.host_app import Serving, make_host_app
from honeyhold.app.chores import Chores
from honeyhold.app.host_commands import PORT
from honeyhold.app.listeners import HERE, PortTaken
from honeyhold.app.serving import WEB, allow_files
from honeyhold.app.web_server import LIMITS, Limits, Server
from honeyhold.house.between_processes import BetweenProcesses
from honeyhold.house.many_houses import Houses
from honeyhold.records.postgresql_records import CONNECTIONS_MOST
from honeyhold.records.shared_database import SharedDatabase

CONNECTIONS: Final = 2000
FILES_WISHED: Final = 4096
LAST_REQUEST_S: Final = 0.3
FAREWELL_S: Final = 15
"""For answers that are being worked on when a worker is told to stop."""
THREADS: Final = 16


@dataclass(frozen=True)
class Asked:
    """How a server of many houses is to be started."""

    database: str
    data: Path
    port: int = PORT
    under: str = ""
    behind_proxy: bool = False
    watch_key: str = ""
    beside: bool = False
    """Another process listens at the port, too, and goes soon."""
    ends_with_input: bool = False
    connections: int = CONNECTIONS_MOST
    """To the database, of this process."""


def limits_of(behind_proxy: bool) -> Limits:
    """Bounds of the server. Behind a proxy every client has the proxy's address: then each house is bounded, and no address."""
    mine = replace(
        LIMITS, threads=THREADS, connections=CONNECTIONS, last_request_s=LAST_REQUEST_S, farewell_s=FAREWELL_S,
        waiting_bytes=4 * LIMITS.waiting_bytes,
    )  # fmt: skip
    if not behind_proxy:
        return mine
    return replace(
        mine, at_work_per_address=THREADS, connections_per_address=CONNECTIONS, waiting_bytes_per_address=mine.waiting_bytes
    )


class Worker:
    """One process that answers for every house of a database."""

    def __init__(self, asked: Asked) -> None:
        """Connects and takes the port; serves nobody yet. Raises `RecordsTrouble`, `PortTaken`."""
        allow_files(FILES_WISHED)
        asked.data.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.shared = SharedDatabase(asked.database, asked.connections, asked.data, serves=True)
        try:
            serving = Serving()
            self.houses = Houses(self.shared, asked.data, beside=serving)
            app: Callable[..., Any] = make_host_app(self.houses, serving, asked.under, WEB, asked.watch_key)
            if asked.behind_proxy:
                app = ProxyFix(app, x_for=1, x_proto=1)  # never the host: which house is meant, the proxy passes on as it heard it
            self.server = Server(limits_of(asked.behind_proxy))
            try:
                self.port = self._open(asked, app)
            except OSError as trouble:
                raise PortTaken(asked.port, trouble) from None
        except BaseException:
            self.shared.close()
            raise
        self._chores = Chores(self.houses)
        self._between = BetweenProcesses(self.shared, self.houses)
        self.houses.when_opened = self._between.join

    def _open(self, asked: Asked, app: Callable[..., Any]) -> int:
        if asked.port and not asked.beside:
            socket.create_server((HERE, asked.port)).close()  # nobody else listens there
        return self.server.open((HERE, asked.port), app, shared=hasattr(socket, "SO_REUSEPORT")).port

    def serve(self) -> None:
        """Answers until `stop`; then streams end, what is under way is answered, and every house is let go."""
        self._between.start()
        self._chores.start()
        try:
            self.server.serve()
        finally:
            self._chores.stop()
            self._between.stop()
            self.houses.close()
            self.shared.close()

    def stop(self) -> None:
        """From any thread."""
        self.server.stop()


def serve(asked: Asked) -> None:
    """Serves until it is told to stop (Ctrl-C, or a terminate signal)."""
    worker = Worker(asked)

    def stop(_number: int, _frame: FrameType | None) -> None:
        threading.Thread(target=worker.stop, daemon=True).start()

    signal.signal(signal.SIGINT, stop)
    signal.signal(signal.SIGTERM, stop)
    if asked.ends_with_input:
        threading.Thread(target=_end_with_input, args=(worker,), daemon=True).start()
    told = f"{len(worker.houses.known())} houses at http://NAME.localhost:{worker.port}/"
    print(f"{told}{f', and as NAME.{asked.under} behind the proxy' if asked.under else ''}. Stop with Ctrl-C.", flush=True)
    worker.serve()


def _end_with_input(worker: Worker) -> None:
    """Whoever looks after this process holds the other end of its input, and may be killed."""
    sys.stdin.read()
    worker.stop()

