"""Where the house listens: this machine alone, and when wished its own network, securely."""

from __future__ import annotations

import ssl
from collections.abc import Callable
from pathlib import Path
from typing import Any

from flask import Flask

from honeyhold.api.codes import NEIGHBOURS
from honeyhold.api.introduction import Neighbourhood, introduction, own_names
from honeyhold.app.certificates import SecureFiles, may_vouch_for, secure_files
from honeyhold.app.web_server import LIMITS, Limits, Server
from honeyhold.app.web_server.server import Door
from honeyhold.errors import HoneyholdError
from honeyhold.house.clock import machine_time

HERE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"


class PortTaken(HoneyholdError, OSError):
    """Another program listens where the house would."""

    code = "port-taken"

    def __init__(self, port: int, trouble: OSError) -> None:
        super().__init__(f"The house cannot listen at port {port}: {trouble}.", "Stop what listens there, or give another --port.")
        self.port = port


class Doors:
    """The addresses of one application; `stop` closes them all."""

    def __init__(self, app: Flask, limits: Limits = LIMITS) -> None:
        self._app = app
        self._server = Server(limits)
        self._asked_port = 0
        self.neighbourhood: Neighbourhood | None = None

    def open_here(self, port: int) -> int:
        """Listens on this machine alone, which browsers count as secure; the port it got. Raises `PortTaken`."""
        self._asked_port = port
        return self._open((HERE, port), self._app).port

    def open_to_devices(self, certificates: Path, house_name: str) -> Neighbourhood:
        """Listens on the house's network: securely one port above the first, with the page that introduces the authority one higher.

        Where the first port was left to the machine to choose (0), these are as well: the ones above it may be in use. Raises
        `PortTaken`, and `OSError` when the certificates cannot be written.
        """
        names = [name for name in own_names() if may_vouch_for(name)]
        files = secure_files(certificates, names, machine_time())
        secure = self._open((EVERYWHERE, self._port_above(1)), self._app, proof_of(files))
        first_time = self._open((EVERYWHERE, self._port_above(2)), self._app)
        name = names[0] if names else "localhost"
        where = Neighbourhood(f"https://{name}:{secure.port}/", f"http://{name}:{first_time.port}/", files.fingerprint)
        first_time.application = introduction(files.authority, where, house_name)  # it tells the port that it got
        self._app.extensions[NEIGHBOURS] = where
        self.neighbourhood = where
        return where

    def serve(self) -> None:
        """Serves at every door until `stop`."""
        self._server.serve()

    def stop(self) -> None:
        """Closes every door; once more does nothing."""
        self._server.stop()

    def _port_above(self, steps: int) -> int:
        return self._asked_port + steps if self._asked_port else 0

    def _open(self, address: tuple[str, int], app: Callable[..., Any], proof: ssl.SSLContext | None = None) -> Door:
        try:
            return self._server.open(address, app, proof)
        except OSError as trouble:
            self.stop()
            raise PortTaken(address[1], trouble) from None


def proof_of(files: SecureFiles) -> ssl.SSLContext:
    """What shows a device that this is the house. Raises `OSError`."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.load_cert_chain(files.certificate, files.key)
    return context
