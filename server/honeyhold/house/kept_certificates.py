"""What other devices trust, kept with every backup: on a new disk no phone has to learn to trust the main computer anew.

The house makes no certificates; it only keeps the files of the authority as they lie in the folder, key and all.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

FOLDER: Final = "certificates"
ADDRESSES: Final = "addresses.txt"
KEPT: Final = ("authority.pem", "authority-next.pem", ADDRESSES)
"""Those from which all others are made, and where devices found the main computer until now."""


def known(folder: Path) -> dict[str, str]:
    """The authority's files by name; one that is missing or is no text is left out."""
    found: dict[str, str] = {}
    for name in KEPT:
        try:
            found[name] = (folder / FOLDER / name).read_text("ascii")
        except (OSError, ValueError):
            continue
    return found


def earlier_addresses(folder: Path, now: str, most: int) -> tuple[str, ...]:
    """Where devices found the main computer before `now`, the latest first; `now` is noted. `folder` is the certificates' own.

    Raises `OSError`.
    """
    file = folder / ADDRESSES
    noted = file.read_text("ascii").split() if file.exists() else []
    if not noted or noted[-1] != now:
        noted = [*(one for one in noted if one != now), now]
        part = file.with_suffix(".part")
        part.write_text("\n".join(noted) + "\n", "ascii")
        part.replace(file)
    return tuple(noted[-2 : -2 - most : -1])


def put_back(folder: Path, kept: dict[str, str], new_here: bool) -> None:
    """Those of a backup where this folder has none, or has some that none of the backup's devices ever met (`new_here`). Raises `OSError`.

    Otherwise what is here stays: it is what devices trust by now.
    """
    place = folder / FOLDER
    if (place / KEPT[0]).exists() and not new_here:
        return
    for name in KEPT:
        if name in kept:
            place.mkdir(mode=0o700, exist_ok=True)
            with os.fdopen(os.open(place / name, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="ascii") as opened:
                opened.write(kept[name])
