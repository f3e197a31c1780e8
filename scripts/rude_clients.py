"""Clients without manners, in a process of their own: `python rude_clients.py KIND PORT SECURE NUMBER` until it is ended.

They come from other addresses of this machine (127.0.0.2 and on), as other devices of a network would, at the lowest priority: a rude
client takes its own machine's time, not the main computer's. Each connects again half a second after it was shown out.
"""

from __future__ import annotations

import asyncio
import logging
import os
import ssl
import sys
from collections.abc import Awaitable, Callable
from contextlib import suppress

AGAIN_S = 0.5
DRIP_S = 0.5
ADDRESSES = 4
Ends = tuple[asyncio.StreamReader, asyncio.StreamWriter]


async def silent(port: int, secure: bool, number: int) -> None:
    """Connects and says nothing; where the door speaks TLS, not even the handshake."""
    reader, _ = await _line(port, False, number)
    await reader.read()


async def dripping(port: int, secure: bool, number: int) -> None:
    """One header at a time, never the last."""
    reader, writer = await _line(port, secure, number)
    gone = asyncio.ensure_future(reader.read())
    writer.write(b"POST /api/exchange HTTP/1.1\r\nHost: localhost\r\n")
    while not gone.done():
        writer.write(b"X-Drop: 1\r\n")
        await writer.drain()
        await asyncio.wait({gone}, timeout=DRIP_S)


async def huge(port: int, secure: bool, number: int) -> None:
    """A header of 300 MB, as far as it gets."""
    _, writer = await _line(port, secure, number)
    writer.write(b"GET / HTTP/1.1\r\nHost: localhost\r\nX-Huge: ")
    for _ in range(300):
        writer.write(b"a" * (1 << 20))
        await writer.drain()


async def many(port: int, secure: bool, number: int) -> None:
    """A line of its own for each question, twice a second, each by far too large or without a key."""
    reader, writer = await _line(port, secure, number)
    writer.write(b"POST /api/exchange HTTP/1.1\r\nHost: localhost\r\nContent-Length: 900000000\r\n\r\n")
    await writer.drain()
    await reader.read()


async def half_open(port: int, secure: bool, number: int) -> None:
    """The beginning of a handshake or of a body, then nothing: a phone that has left the network."""
    reader, writer = await _line(port, False, number)
    begun = b"\x16\x03\x01\x02\x00\x01\x00" if secure else b"POST /api/exchange HTTP/1.1\r\nHost: localhost\r\nContent-Length: 90\r\n\r\n{"
    writer.write(begun)
    await reader.read()


KINDS: dict[str, Callable[[int, bool, int], Awaitable[None]]] = {
    one.__name__.replace("_", "-"): one for one in (silent, dripping, huge, many, half_open)
}


async def _line(port: int, secure: bool, number: int) -> Ends:
    context = None
    if secure:
        context = ssl.create_default_context()
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    return await asyncio.open_connection("127.0.0.1", port, ssl=context, local_addr=(f"127.0.0.{2 + number % ADDRESSES}", 0))


async def again_and_again(kind: str, port: int, secure: bool, number: int) -> None:
    """One rude client, for ever."""
    while True:
        with suppress(OSError, ssl.SSLError, asyncio.IncompleteReadError):
            await KINDS[kind](port, secure, number)
        await asyncio.sleep(AGAIN_S)


async def main() -> None:
    """All of them at once."""
    kind, port, secure, number = sys.argv[1], int(sys.argv[2]), sys.argv[3] == "tls", int(sys.argv[4])
    clients = [again_and_again(kind, port, secure, one) for one in range(number)]
    await asyncio.gather(*clients)


if __name__ == "__main__":
    logging.disable()  # of lines that the house closed under them there are thousands
    with suppress(AttributeError):  # Windows has no such thing
        os.nice(15)
    asyncio.run(main())
