"""What the camera reads: the first code that is looked for; plain words, and a camera gone dark, for whatever stands in the way."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node

SCAN = """await (async () => {
  let dark = 0;
  const stop = new AbortController();
  const fails = (name) => { if (asked.fails === name) throw new TypeError('not for anybody to read'); };
  const camera = { getUserMedia: async () => { fails('camera'); return { getTracks: () => [{ stop: () => (dark += 1) }] }; } };
  Object.defineProperty(globalThis, 'navigator', { value: { mediaDevices: camera }, configurable: true });
  const drawn = { canvas: {}, drawImage: () => {}, getImageData: () => ({ data: [], width: 1, height: 1 }) };
  globalThis.document = { createElement: () => ({ getContext: () => drawn }) };
  const pictures = [...asked.pictures];
  globalThis.BarcodeDetector = class {
    static async getSupportedFormats() { fails('formats'); return ['qr_code']; }
    async detect() {
      fails('detect');
      if (!pictures.length) stop.abort();
      return (pictures.shift() ?? []).map((rawValue) => ({ rawValue }));
    }
  };
  const video = { videoWidth: 1, videoHeight: 1, play: async () => fails('play') };
  const wanted = asked.not ? (code) => Boolean(code) && !code.startsWith(asked.not) : undefined;
  const said = await here.scanned(video, stop.signal, wanted).then((code) => ({ code }), (error) => ({ error: error.message }));
  return { ...said, dark: dark > 0 };
})()"""


def scanned(pictures: list[list[str]], **more: str) -> dict[str, Any]:
    told: dict[str, Any] = in_node("parts/scan.js", SCAN, {"pictures": pictures, **more})
    return told


def test_the_first_code_that_is_looked_for() -> None:
    assert scanned([[], ["AB1"]]) == {"code": "AB1", "dark": True}
    assert scanned([["OURS:1"], ["OURS:1", "AB2"]], **{"not": "OURS:"}) == {"code": "AB2", "dark": True}


def test_stopped_it_says_nothing() -> None:
    assert scanned([["OURS:1"]], **{"not": "OURS:"}) == {"error": "", "dark": True}


@pytest.mark.parametrize(("fails", "words"), [
    ("camera", "The camera may not be used here: "),
    ("play", "The camera shows no picture: "),
    ("formats", "What reads codes is not on this device yet: "),  # nor is the library, here
    ("detect", "What reads codes is not on this device yet: "),
])  # fmt: skip
def test_what_stands_in_the_way_is_told_in_words(fails: str, words: str) -> None:
    told = scanned([["AB1"]], fails=fails)
    assert told == {"error": f"{words}type what is under the code.", "dark": fails != "camera"}
