"""A device whose main computer moved to another address still stands at the old one: its page asks here from there.

A browser lets a page read the answers of another address only where that address says so. The doors through which a device hands over
what it has not sent say so to pages of a house's own kind of address (this machine, `.local`, private networks), and to no page of the
internet. Nothing is believed for that: a key is asked for as ever, and no browser adds one by itself.
"""

from __future__ import annotations

from ipaddress import ip_address, ip_network
from typing import Final
from urllib.parse import urlsplit

from flask import Flask, Response, request

OPEN: Final = frozenset({"/api/health", "/api/exchange", "/api/mirror", "/api/late"})
OWN_NETWORKS: Final = ("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")
"""This machine, private and link-local networks (RFC 1122, 1918, 3927); the house's certificates are bound to them too."""
NETWORKS: Final = tuple(map(ip_network, (*OWN_NETWORKS, "::1/128", "fc00::/7", "fe80::/10")))
ANSWERS: Final = {
    "Access-Control-Allow-Methods": "GET, POST", "Access-Control-Allow-Headers": "Authorization, Content-Type",
    "Access-Control-Max-Age": "600", "Access-Control-Allow-Private-Network": "true",
}  # fmt: skip


def let_in(app: Flask) -> None:
    """Pages of the house's kind of address may read what these doors answer."""

    @app.after_request
    def say_so(answer: Response) -> Response:
        if request.path not in OPEN:
            return answer
        answer.vary.add("Origin")
        origin = request.headers.get("Origin", "")
        if is_near(origin):
            answer.headers["Access-Control-Allow-Origin"] = origin
            if request.method == "OPTIONS":
                answer.headers.update(ANSWERS)
        return answer


def is_near(origin: str) -> bool:
    """Whether an origin lies within a house: this machine, a name ending in `.local`, a private or link-local network."""
    try:
        parts = urlsplit(origin)
        host = parts.hostname or ""
    except ValueError:
        return False
    if parts.scheme not in ("http", "https") or not host:
        return False
    if host == "localhost" or host.endswith(".local"):
        return True
    try:
        address = ip_address(host)
    except ValueError:
        return False
    return any(address in network for network in NETWORKS)
