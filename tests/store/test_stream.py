"""The main computer's whisper: what counts as a word of it, and what is no whisper at all."""

from __future__ import annotations

from typing import Any

from store.in_page import in_page

Json = dict[str, Any]
LISTENED = """{
  const told = [];
  for (const { kind, parts, lasts_ms, body } of asked) {
    let clock = 7000, news = 0, left = 0;
    performance.now = () => clock;
    const asks = [];
    const bytes = parts.map((part) => new TextEncoder().encode(part));
    if (body === 'in the middle of a letter') bytes.splice(0, 1, bytes[0].slice(0, 9), bytes[0].slice(9));
    const stream = new ReadableStream({
      pull(to) {
        if (bytes.length) return to.enqueue(bytes.shift());
        if (body === 'breaks') return to.error(new TypeError('the line broke'));
        clock += lasts_ms;
        to.close();
      },
      cancel() { left += 1; },
    }, { highWaterMark: 0 });
    globalThis.fetch = async (path, { method, headers, signal }) => {
      asks.push([method, path, headers, signal.aborted]);
      return new Response(body === 'none' ? null : stream, { headers: kind === null ? {} : { 'Content-Type': kind } });
    };
    const hearing = new AbortController();
    if (body === 'given up') hearing.abort();
    const heard = await here.listen('key', hearing.signal, () => { news += 1; }).catch((error) => error.message);
    told.push({ heard, news, left, asks });
  }
  return told;
}"""
STREAM = "text/event-stream"


def listened(*cases: Json) -> list[Json]:
    """`parts` as they came, of which `kind`, how long it lasted; `heard`: what came of it, `left`: how often it was closed from here."""
    usual: Json = {"kind": STREAM, "parts": [], "lasts_ms": 0, "body": ""}
    told: list[Json] = in_page("store/stream.js", LISTENED, [{**usual, **case} for case in cases])
    return told


def test_the_key_goes_along_and_whoever_gives_up_ends_it() -> None:
    told, given_up = listened({}, {"body": "given up"})
    assert [told["asks"], given_up["asks"]] == [[["GET", "/api/stream", {"Authorization": "Bearer key"}, gone]] for gone in (False, True)]


def test_somebody_elses_page_is_left_at_once_and_never_a_stream() -> None:
    """However much of it reads like news."""
    page = ["data: 1\n"]
    pages = listened(*({"kind": kind, "parts": page} for kind in ("text/html", "application/json; text/event-stream", "", None)))
    assert [(one["heard"], one["news"], one["left"]) for one in pages] == [(False, 0, 1)] * 4
    whole: Json = {"kind": f"{STREAM}; charset=utf-8", "parts": page}
    empty, typed, none = listened({"body": "none"}, whole, {"kind": "text/html", "body": "none"})
    assert [(one["heard"], one["news"], one["left"]) for one in (empty, typed, none)] == [(False, 0, 0), (True, 1, 0), (False, 0, 0)]


def test_each_part_that_holds_news_is_told_once_and_what_only_keeps_the_line_open_is_not() -> None:
    """A line may be cut anywhere, and each of the three ends of a line is one; what stands in no line that is over is not heard yet."""
    cases: dict[str, list[str]] = {
        "one": ["data: 1\n\n"], "two in one": ["data: 1\n\ndata: 2\n\n"], "two": ["data: 1\n\n", "data: 2\n\n"],
        "cut": ["da", "ta: 1", "\n\n"], "cut in an end": ["data: 1\r", "\n\r\n"], "by returns": ["data: 1\r"], "both": ["data: 1\r\n"],
        "of another sort": [": still here\n\n", "event: data:\n", "xdata: 1\n"], "not over": ["data: 1"],
        "after much": [":" * 70_000, "\ndata: 1\n"], "far too long": ["data:" + "x" * 70_000, "x" * 70_000, "\n"],
    }  # fmt: skip
    told = listened(*({"parts": parts} for parts in cases.values()))
    news = dict(zip(cases, (one["news"] for one in told), strict=True))
    assert news == {"one": 1, "two in one": 1, "two": 2, "cut": 1, "cut in an end": 1, "by returns": 1, "both": 1, "of another sort": 0,
                    "not over": 0, "after much": 1, "far too long": 1}  # fmt: skip
    assert [one["heard"] for one in told] == [bool(one["news"]) for one in told]
    [letter] = listened({"parts": [": é é é é\ndata: é\n"], "body": "in the middle of a letter"})
    assert (letter["news"], letter["heard"]) == (1, True)


def test_one_that_was_cut_off_at_once_was_none_and_one_that_broke_is_told_so() -> None:
    *told, breaks = listened(*({"lasts_ms": ms} for ms in (0, 5000, 5001)), {"body": "breaks", "parts": ["data: 1\n"]})
    assert [one["heard"] for one in told] == [False, False, True] and (breaks["heard"], breaks["news"]) == ("the line broke", 1)
