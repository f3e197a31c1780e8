"""How other devices find the house: the machine's names on its own network, and a page that introduces the authority."""

from __future__ import annotations

import io
import socket
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import segno
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

NOWHERE = ("192.0.2.1", 9)
"""An address kept for examples (RFC 5737): asking the way there sends nothing, and tells which of our own addresses is used."""


@dataclass(frozen=True)
class NextCertificate:
    """The certificate that follows the one that devices trust, where one was announced."""

    letters: str
    day: date
    """From then on the main computer shows it."""
    certificate: bytes


@dataclass(frozen=True)
class Neighbourhood:
    """Where devices on the house's own network go."""

    secure_address: str
    """`https://...:port/`: what a device is enrolled at and keeps its entries under."""
    introduction_address: str
    """`http://...:port/`: carries the authority to a device that does not know it yet."""
    fingerprint: str
    words: str = ""
    """What a person should be told besides."""
    following: NextCertificate | None = None
    earlier: tuple[str, ...] = ()
    """Secure addresses at which devices were before, the latest first."""


def own_names() -> list[str]:
    """This machine's addresses and names on its own network, the one to tell first."""
    names = [*_used_address(), *_known_addresses()]
    host = socket.gethostname().split(".")[0].lower()
    if host and host != "localhost":
        names.append(f"{host}.local")
    return list(dict.fromkeys(names))


def introduction(authority: Path, where: Neighbourhood, house_name: str) -> Callable[[dict[str, Any], Any], Iterable[bytes]]:
    """A tiny WSGI application: one page of three steps, and the certificates to load: the authority's, and the one that follows it."""
    page = _page(where, house_name).encode("utf-8")
    certificates = {"/house.crt": authority.read_bytes()}
    if where.following:
        certificates["/next.crt"] = where.following.certificate
    answers = {"/": ("text/html; charset=utf-8", page)} | {
        path: ("application/x-x509-ca-cert", certificate) for path, certificate in certificates.items()
    }

    def answer(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        found = answers.get(environ.get("PATH_INFO", ""))
        if found is None or environ.get("REQUEST_METHOD") not in {"GET", "HEAD"}:
            start_response("404 Not Found", [("Content-Type", "text/plain"), ("Content-Length", "0")])
            return [b""]
        media_type, body = found
        headers = [("Content-Type", media_type), ("Content-Length", str(len(body))), ("Cache-Control", "no-store")]
        headers.append(("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; img-src data:"))
        start_response("200 OK", headers)
        return [b"" if environ["REQUEST_METHOD"] == "HEAD" else body]

    return answer


def picture_of(address: str, title: str) -> str:
    """An address as a QR picture (ISO/IEC 18004), SVG to be set into a page."""
    drawn = io.BytesIO()
    segno.make(address, error="m").save(drawn, kind="svg", xmldecl=False, svgns=True, scale=6, border=3, title=title)
    return drawn.getvalue().decode("utf-8")


def _page(where: Neighbourhood, house_name: str) -> str:
    engine = Environment(loader=PackageLoader("honeyhold.api"), autoescape=True, undefined=StrictUndefined)
    return engine.get_template("introduction.html").render(
        name=house_name,
        secure=where.secure_address,
        groups=where.fingerprint.split(" "),
        following=where.following,
        picture=Markup(picture_of(where.introduction_address, "This page's address")),
    )


def _used_address() -> list[str]:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect(NOWHERE)
        except OSError:
            return []
        return [str(way.getsockname()[0])]


def _known_addresses() -> list[str]:
    try:
        found = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        return []
    return [str(address[4][0]) for address in found if not str(address[4][0]).startswith("127.")]
