"""What an element is where whoever draws it gives it none of its marks."""

from __future__ import annotations

from store.drawn_in_page import drawn_in_page

ROOMS = ("counter", "bench", "shelf", "melt", "book", "settings")


def test_a_mark_that_is_not_there_means_no() -> None:
    """An attribute that only is there or is not is off from the start, as it is once it is taken away."""
    body = """const kinds = [];
      const { define } = customElements;
      customElements.define = function (tag, kind) {
        kinds.push([tag, kind]);
        return define.call(customElements, tag, kind);
      };
      for (const room of asked) await module(`rooms/${room}/${room}-room.js`);
      return kinds.flatMap(([tag, kind]) => [...kind.elementProperties].filter(([, { type }]) => type === Boolean)
        .map(([name]) => [`${tag} ${name}`, new kind()[name]])).sort();"""
    told = dict(drawn_in_page("parts/part.js", body, ROOMS))
    assert told == dict.fromkeys(told, False)
    assert {"scale-deck empty", "number-pad point", "good-board counting", "deck-number point", "again-list all"} <= set(told)
