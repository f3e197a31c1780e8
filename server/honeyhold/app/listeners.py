"""Where the house listens: this machine alone, and when wished its own network, securely."""

from __future__ import annotations

import logging
import ssl
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from flask import Flask

from honeyhold.api.codes import NEIGHBOURS
from honeyhold.api.introduction import Neighbourhood, NextCertificate, introduction, own_names
from honeyhold.app.web_server import LIMITS, Limits, Server
from honeyhold.app.web_server.server import Door
from honeyhold.errors import HoneyholdError
from honeyhold.house.clock import machine_time
from honeyhold.house.kept_certificates import earlier_addresses

if TYPE_CHECKING:
    from honeyhold.app.certificates import SecureFiles

HERE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
LOOK_S = 60.0
EARLIER_MAX = 2
"""So many of the addresses at which devices were before are offered with a code."""

log = logging.getLogger("honeyhold")


class PortTaken(HoneyholdError, OSError):
    """Another program listens where the house would."""

    code = "port-taken"

    def __init__(self, port: int, trouble: OSError) -> None:
        super().__init__(f"The main computer cannot listen at port {port}: {trouble}.", "Stop what listens there, or give another --port.")
        self.port = port


class NoCertificates(HoneyholdError, OSError):
    """What devices on the house's network would trust cannot be made."""

    code = "no-certificates"

    def __init__(self, folder: Path, trouble: OSError) -> None:
        told = f"The certificates in {folder} cannot be read or written: {trouble}."
        super().__init__(told, "Make room there, or let this user write there.")


@dataclass
class Nearby:
    """The two doors to the house's own network, and what is shown there."""

    certificates: Path
    house_name: str
    secure: Door
    first_time: Door
    shown: bytes = b""


class Doors:
    """The addresses of one application; `stop` closes them all."""

    def __init__(self, app: Flask, limits: Limits = LIMITS) -> None:
        self._app = app
        self._server = Server(limits)
        self._asked_port = 0
        self._nearby: Nearby | None = None
        self.neighbourhood: Neighbourhood | None = None

    def open_here(self, port: int) -> int:
        """Listens on this machine alone, which browsers count as secure; the port it got. Raises `PortTaken`."""
        self._asked_port = port
        return self._open((HERE, port), self._app).port

    def open_to_devices(self, certificates: Path, house_name: str) -> Neighbourhood:
        """Listens on the house's network: securely one port above the first, with the page that introduces the authority one higher.

        Where the first port was left to the machine to choose (0), these are as well: the ones above it may be in use. Raises
        `PortTaken`, and `NoCertificates` when they cannot be written.
        """
        secure = self._open((EVERYWHERE, self._port_above(1)), self._app)
        first_time = self._open((EVERYWHERE, self._port_above(2)), self._app)
        self._nearby = Nearby(certificates, house_name, secure, first_time)
        try:
            self._look(self._nearby)
        except OSError as trouble:
            self.stop()
            raise NoCertificates(certificates, trouble) from None
        assert self.neighbourhood is not None
        return self.neighbourhood

    def renew(self) -> None:
        """Looks whether the machine has got another address, or the certificate nears its end: new connections are shown a new one.

        Raises `OSError` when that cannot be written; what was shown before is shown on.
        """
        if self._nearby is not None:
            self._look(self._nearby)

    def _look(self, nearby: Nearby) -> None:
        from honeyhold.app.certificates import may_vouch_for, secure_files  # not where this machine alone is answered

        names = [name for name in own_names() if may_vouch_for(name)]
        files = secure_files(nearby.certificates, names, machine_time())
        name = names[0] if names else "localhost"
        secure, first_time = f"https://{name}:{nearby.secure.port}/", f"http://{name}:{nearby.first_time.port}/"
        shown = files.certificate.read_bytes()
        if shown != nearby.shown:
            nearby.secure.certificates, nearby.shown = proof_of(files), shown
        earlier = earlier_addresses(nearby.certificates, secure, EARLIER_MAX)
        where = Neighbourhood(secure, first_time, files.fingerprint, files.words, _announced(files), earlier)
        if where != self.neighbourhood:
            nearby.first_time.application = introduction(files.authority, where, nearby.house_name)
            self._app.extensions[NEIGHBOURS] = self.neighbourhood = where

    def serve(self) -> None:
        """Serves at every door until `stop`."""
        self._server.serve()

    def stop(self) -> None:
        """Closes every door; once more does nothing."""
        self._server.stop()

    def _port_above(self, steps: int) -> int:
        return self._asked_port + steps if self._asked_port else 0

    def _open(self, address: tuple[str, int], app: Callable[..., Any]) -> Door:
        try:
            return self._server.open(address, app)
        except OSError as trouble:
            self.stop()
            raise PortTaken(address[1], trouble) from None


def _announced(files: SecureFiles) -> NextCertificate | None:
    """What devices are told of the certificate that follows. Raises `OSError`."""
    after = files.following
    return NextCertificate(after.fingerprint, after.day, after.authority.read_bytes()) if after else None


def proof_of(files: SecureFiles) -> ssl.SSLContext:
    """What shows a device that this is the house. Raises `OSError`."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.load_cert_chain(files.certificate)
    return context


class RenewalWatch:
    """A thread that renews now and then what devices are shown, while the house runs."""

    def __init__(self, doors: Doors, look_s: float = LOOK_S) -> None:
        self._doors = doors
        self._look_s = look_s
        self._stopped = threading.Event()
        self._trouble = ""
        self._thread = threading.Thread(target=self._run, name="certificates", daemon=True)

    def start(self) -> None:
        """Begins to look."""
        self._thread.start()

    def stop(self) -> None:
        """Looks no more."""
        self._stopped.set()

    def _run(self) -> None:
        while not self._stopped.wait(self._look_s):
            before = self._doors.neighbourhood
            try:
                self._doors.renew()
            except OSError as trouble:
                self._say(f"The certificates could not be renewed: {trouble}")
            else:
                self._say("")
            where = self._doors.neighbourhood
            if where and where != before:
                told = (where.secure_address, where.introduction_address, where.words)
                log.warning("Devices reach the main computer at %s now (the first time: %s). %s", *told)

    def _say(self, trouble: str) -> None:
        if trouble and trouble != self._trouble:
            log.warning(trouble)
        self._trouble = trouble
