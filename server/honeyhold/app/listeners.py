"""Where the house listens: this machine alone, and when wished its own network, securely."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.wsgi import Server
from flask import Flask

from honeyhold.api.codes import NEIGHBOURS
from honeyhold.api.introduction import Neighbourhood, introduction, own_names
from honeyhold.app.certificates import may_vouch_for, secure_files
from honeyhold.errors import HoneyholdError
from honeyhold.house.clock import machine_time

HERE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
INTRODUCTION_THREADS = 4
QUEUE = 64


class PortTaken(HoneyholdError, OSError):
    """Another program listens where the house would."""

    code = "port-taken"

    def __init__(self, port: int, trouble: OSError) -> None:
        super().__init__(f"The house cannot listen at port {port}: {trouble}.", "Stop what listens there, or give another --port.")
        self.port = port


class Doors:
    """The servers around one application; `stop` closes them all."""

    def __init__(self, app: Flask, threads: int) -> None:
        self._app = app
        self._threads = threads
        self._servers: list[Server] = []
        self._asked_port = 0
        self.neighbourhood: Neighbourhood | None = None

    def open_here(self, port: int) -> int:
        """Listens on this machine alone, which browsers count as secure; the port it got. Raises `PortTaken`."""
        self._asked_port = port
        return _port_of(self._listen((HERE, port), self._app, self._threads))

    def open_to_devices(self, certificates: Path, house_name: str) -> Neighbourhood:
        """Listens on the house's network: securely one port above the first, with the page that introduces the authority one higher.

        Where the first port was left to the machine to choose (0), these are as well: the ones above it may be in use. Raises
        `PortTaken`, and `OSError` when the certificates cannot be written.
        """
        names = [name for name in own_names() if may_vouch_for(name)]
        files = secure_files(certificates, names, machine_time())
        adapter = BuiltinSSLAdapter(str(files.certificate), str(files.key))
        secure = self._listen((EVERYWHERE, self._port_above(1)), self._app, self._threads, adapter)
        first_time = self._listen((EVERYWHERE, self._port_above(2)), self._app, INTRODUCTION_THREADS)
        name = names[0] if names else "localhost"
        where = Neighbourhood(f"https://{name}:{_port_of(secure)}/", f"http://{name}:{_port_of(first_time)}/", files.fingerprint)
        first_time.wsgi_app = introduction(files.authority, where, house_name)  # it tells the port that it got
        self._app.extensions[NEIGHBOURS] = where
        self.neighbourhood = where
        return where

    def serve(self) -> None:
        """Serves at every door until `stop`."""
        for server in self._servers[1:]:
            threading.Thread(target=server.serve, daemon=True).start()
        self._servers[0].serve()

    def stop(self) -> None:
        """Closes every door; once more does nothing."""
        for server in self._servers:
            server.stop()

    def _port_above(self, steps: int) -> int:
        return self._asked_port + steps if self._asked_port else 0

    def _listen(self, address: tuple[str, int], app: Callable[..., Any], threads: int, adapter: BuiltinSSLAdapter | None = None) -> Server:
        server = Server(address, app, numthreads=threads, request_queue_size=QUEUE)
        server.ssl_adapter = adapter
        try:
            server.prepare()
        except OSError as trouble:
            if server.socket:
                server.socket.close()
            self.stop()
            raise PortTaken(address[1], trouble) from None
        self._servers.append(server)
        return server


def _port_of(server: Server) -> int:
    return int(server.bind_addr[1])
