"""How much one client may ask for before it has said anything worth an answer. Common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.api.app import BODY_BYTES_MAX


@dataclass(frozen=True)
class Limits:
    """Bounds of the server; tests take smaller ones."""

    threads: int = 12
    """Answers that are worked on at the same time; a stream costs none."""
    at_work_per_address: int = 6
    """Of these, so many for one address: half of the threads stay free for everybody else."""
    connections: int = 256
    connections_per_address: int = 64
    head_bytes: int = 16 * 1024
    """A request's first line and headers together; ours have less than one kilobyte."""
    small_body_bytes: int = 64 * 1024
    """A body up to this is always taken in; larger ones share `waiting_bytes`."""
    body_bytes: int = BODY_BYTES_MAX
    waiting_bytes: int = 32 * 1024 * 1024
    waiting_bytes_per_address: int = 8 * 1024 * 1024
    handshake_s: float = 5
    """TLS: from the connection to the first encrypted byte."""
    first_byte_s: float = 10
    """A new connection that says nothing for so long is closed."""
    kept_open_s: float = 75
    """One that has been answered, and asks nothing more."""
    head_s: float = 10
    """From a request's first byte to the end of its headers."""
    body_s: float = 20
    """Until the whole body is there, and longer by the second for each `body_bytes_per_s` of it that came."""
    body_bytes_per_s: int = 8 * 1024
    write_s: float = 30
    """For the reader of an answer to take in a buffer full."""
    last_request_s: float = 0
    """When the server stops: for a client on an open connection to be heard once more, where another process goes on answering."""
    farewell_s: float = 1.2
    """When the server stops: for the answers that are being worked on."""


LIMITS = Limits()
