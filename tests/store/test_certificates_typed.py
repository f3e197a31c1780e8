"""What is typed from the round certificate of a carton: limits that hold to the last millimetre, and figures that are none."""

from __future__ import annotations

from store.in_page import in_page

ROW = """asked.map((typed) => {
  try {
    return here.certificateRow(new Map(Object.entries(typed)));
  } catch ({ message, remedy, kind }) {
    return `${message} ${remedy} ${kind}`;
  }
})"""
NO_FIGURE = "which is no such figure. Write the number that is printed in the circle, or leave it empty. draft"
NO_LENGTH = "which is no such figure. Write it like 75 in, or 5/32 in for the board; or leave it empty. draft"
NOTHING = {"max_gross_g": 0, "max_united_mm": None, "edge_crush_lb_per_in": None, "board_um": None}
GOOD = {
    "gross": [("1", 453), ("65 lbs.", 29483), ("65 pounds", 29483)],
    "united": [("100 mm", 100), ("10000 mm", 10000), ("75 in", 1905)],
    "crush": [("1", 1), ("32 lb / in", 32), ("31.5", 32)],
    "board": [("0.5 mm", 500), ("30 mm", 30000), ("5/32 in", 3969)],
}
BAD = {
    "gross": (["0.9", "heavy", "-1"], "Gross weight limit", NO_FIGURE), "crush": (["0", "x"], "Edge crush", NO_FIGURE),
    "united": (["99.9 mm", "10000.1 mm", "large"], "Size limit", NO_LENGTH),
    "board": (["0.4 mm", "30.1 mm", "thick", "0 mm"], "Board thickness", NO_LENGTH),
}  # fmt: skip
FIELDS = {"gross": "max_gross_g", "united": "max_united_mm", "crush": "edge_crush_lb_per_in", "board": "board_um"}


def test_a_certificate_is_kept_as_it_is_printed_and_what_is_no_figure_is_refused() -> None:
    good = [(name, text, kept) for name, texts in GOOD.items() for text, kept in texts]
    bad = [(name, text, what, why) for name, (texts, what, why) in BAD.items() for text in texts]
    asked = [{}, *({name: text} for name, text, _ in good), *({name: f" {text} "} for name, text, _, _ in bad)]
    nothing, *told = in_page("rooms/settings/certificate-form.js", f"{{ return {ROW}; }}", asked)
    assert nothing == NOTHING
    assert told[: len(good)] == [{**NOTHING, FIELDS[name]: kept} for name, _, kept in good]
    assert told[len(good) :] == [f"{what} is “{text}”, {why}" for _, text, what, why in bad]


def test_a_kept_length_is_said_as_it_was_typed() -> None:
    lengths = {3969: "5/32 in", 3984: "3.984 mm", 6365: "1/4 in", 6366: "6.366 mm", 6335: "1/4 in", 4000: "4 mm", 1905000: "75 in",
               38100: "1 1/2 in"}  # fmt: skip
    said = in_page("rooms/settings/certificate-form.js", "{ return asked.map(here.inchesSaid); }", list(lengths))
    assert said == list(lengths.values())
