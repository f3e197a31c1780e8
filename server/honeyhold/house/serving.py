"""The production server around the application: cheroot, with enough threads that streams never hold up a request."""

from __future__ import annotations

import signal
import threading
import webbrowser
from pathlib import Path
from types import FrameType

from cheroot.wsgi import Server

from honeyhold.api.app import make_app
from honeyhold.house.house import House

THREADS = 28
STREAMS_MAX = 16
"""Places for listening; the twelve other threads stay free for everybody."""

ADDRESS = "127.0.0.1"
WEB = Path(__file__).resolve().parents[3] / "web"


def serve(house: House, port: int, open_browser: bool) -> None:
    """Serves until it is told to stop (Ctrl-C, or a terminate signal), then lets the records go."""
    server = Server((ADDRESS, port), make_app(house, WEB, STREAMS_MAX), numthreads=THREADS, request_queue_size=64)
    server.prepare()
    port = server.bind_addr[1]
    stopping = threading.Event()

    def stop(_number: int, _frame: FrameType | None) -> None:
        if not stopping.is_set():
            stopping.set()
            threading.Thread(target=server.stop, daemon=True).start()

    signal.signal(signal.SIGINT, stop)
    signal.signal(signal.SIGTERM, stop)
    address = first_address(house, port)
    if open_browser:
        threading.Timer(0.5, webbrowser.open, [address]).start()
    try:
        server.serve()
    finally:
        server.stop()
        house.close()


def first_address(house: House, port: int) -> str:
    """Prints where the house is, with a code for the first device while there is none; the address to open."""
    plain = f"http://localhost:{port}/"
    print(f"{house.settings().get('name', 'The house')} is open at {plain}", flush=True)
    if house.has_keeper():
        print("Another device: Keys on a keeper's device makes a code for it. Stop with Ctrl-C.", flush=True)
        return plain
    code = house.new_code("keeper")["code"]
    address = f"{plain}#enrol={code}"
    print(f"Make this browser the first device: {address}", flush=True)
    print("The code is good once, for ten minutes; starting again gives a fresh one.", flush=True)
    return address
