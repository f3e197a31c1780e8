"""The process that plays the browser's own store (`node/player.mjs`), and the doors of the house for it, at the end of the line."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING, Any

from honeyhold.api.problems import MEDIA_TYPE, _known
from honeyhold.errors import HoneyholdError
from honeyhold.house.quarantine import hand_in
from storm.checkers import Violation

if TYPE_CHECKING:
    from storm.web_phone import WebPhone
    from storm.world import World

Json = dict[str, Any]

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = Path(__file__).resolve().parent / "node" / "player.mjs"
EXPECTED = ("draft", "frozen", "not enrolled", "taken")
"""Kinds of refusal with which the store tells a person that an act is not possible now."""


class ActRefused(Exception):
    """The device would not do it, and said why; nothing was written down."""


class DiskFull(ActRefused):
    """The device could not write it down, and said so."""


class Player:
    """One Node process with all devices of a run."""

    def __init__(self, world: World, mistakes: list[Json]) -> None:
        self.world = world
        self.phones: dict[str, WebPhone] = {}
        node = shutil.which("node") or str(ROOT / ".venv/bin/node")
        self.process = subprocess.Popen(
            [node, "--experimental-vm-modules", "--no-warnings", str(PROGRAM), json.dumps(mistakes)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, env={**os.environ, "TZ": "UTC"},
        )  # fmt: skip

    def close(self) -> None:
        """Lets the process go."""
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe:
                pipe.close()
        self.process.kill()
        self.process.wait()

    def ask(self, command: Json) -> Json:
        """One command; requests for the house are carried until it is done."""
        self._say(command)
        while "fetch" in (heard := self._heard()):
            self._say({"answer": self._answer(heard["fetch"])})
        if heard["troubles"]:
            raise Violation("client", f"nobody caught: {heard['troubles'][0]}")
        return heard

    def _say(self, message: Json) -> None:
        assert self.process.stdin
        self.process.stdin.write(json.dumps(message).encode() + b"\n")
        self.process.stdin.flush()

    def _heard(self) -> Json:
        assert self.process.stdout
        line = self.process.stdout.readline()
        if not line:
            raise RuntimeError("The player of the devices has stopped; what it said stands above.")
        heard: Json = json.loads(line)
        return heard

    def _answer(self, ask: Json) -> Json:
        self.world.while_on_the_line(self.phones[ask["device"]], ask["path"])
        try:
            return {"status": 200, "type": "application/json", "body": json.dumps(self._carry(ask))}
        except OSError as lost:
            if not isinstance(lost, HoneyholdError):
                return {"lost": str(lost)}
            return _problem(lost)
        except HoneyholdError as refusal:
            return _problem(refusal)

    def _carry(self, ask: Json) -> Json:
        world, body = self.world, json.loads(ask["body"] or "null")
        if ask["path"] == "/api/exchange":
            return world.line.exchange(ask["token"], body)
        if ask["path"] == "/api/mirror":
            return world.line.mirror(ask["token"])
        if ask["path"] == "/api/enrol":
            return world.house.enrol(body["code"], body["name"])
        assert ask["path"] == "/api/late", ask["path"]
        return {"kept": hand_in(world.house, world.house.device_for(ask["token"])["id"], body["operations"])}


def _problem(trouble: HoneyholdError) -> Json:
    answer = _known(trouble)
    return {"status": answer.status_code, "type": MEDIA_TYPE, "body": answer.get_data(as_text=True)}
