"""How much is in it, held to the published rules' own examples. Each names where it was read."""

from __future__ import annotations

from fractions import Fraction

import pytest

from honeyhold.documents.jar_label import _joined
from honeyhold.documents.net_quantity import grams_words, net_words, ounces_of, type_height_mm


def net_line(net_g: int) -> str:
    """As it stands on the label."""
    return _joined(net_words(net_g))


@pytest.mark.parametrize(
    ("net_g", "inch_pound", "metric"),
    [
        (113, "4 oz", "113 g"),  # 16 CFR 500.27 (a multiunit of deodorant cakes): "4 ozs. (113 g)"
        (566, "1 lb 4 oz", "566 g"),  # the same, and (soap packets): "1 lb. 4 ozs. (566 g)"
        (578, "1 lb 4.4 oz", "578 g"),  # the same (soap bars): "1 lb. 4.4 oz. (578 g)"
        (680, "1 lb 8 oz", "680 g"),  # the Food and Drug Administration's labeling guide, chapter on net quantity: "1 lb 8 oz (680g)"
        (340, "12 oz", "340 g"),  # 21 CFR 101.105 (m)(2), now 101.7: three fourths of a pound is "12 oz"
    ],
)
def test_the_rules_own_examples(net_g: int, inch_pound: str, metric: str) -> None:
    said, grams = net_words(net_g)
    assert said.startswith("Net Wt ") and inch_pound in said and grams == metric


def test_from_one_pound_to_under_four_our_labels_put_ounces_first() -> None:
    """What our labels print. That 21 CFR 101.7 (j) asks for it is from memory: this holds the label to itself, not to the rule."""
    assert net_line(680) == "Net Wt 24 oz (1 lb 8 oz) 680 g"
    assert net_line(454) == net_line(453).replace("453", "454") == "Net Wt 16 oz (1 lb) 454 g"
    assert net_line(1360) == "Net Wt 48 oz (3 lb) 1.36 kg"
    assert net_line(1814) == "Net Wt 4 lb (1.81 kg)"
    assert net_line(2267) == "Net Wt 5 lb (2.26 kg)"


@pytest.mark.parametrize(("net_g", "words"), [(28, "1 oz"), (227, "8 oz"), (340, "12 oz"), (454, "16 oz"), (907, "32 oz")])
def test_the_usual_jars_and_the_bar(net_g: int, words: str) -> None:
    """The label weights of facts read beside the exact ounce of 28.349523125 g."""
    assert f"Net Wt {words}" in net_line(net_g) and f"{net_g} g" in net_line(net_g)


def test_neither_system_overstates_by_more_than_the_rounding_of_a_gram() -> None:
    ounce = Fraction("28.349523125")
    for net_g in range(5, 3000):
        assert ounces_of(net_g) * ounce <= net_g + 1, net_g
        assert net_g - ounces_of(net_g) * ounce < Fraction(3), net_g


def test_grams_in_three_figures() -> None:
    """16 CFR 500.19 (b): three digits, two below a hundred; a last zero behind the point may go."""
    assert [grams_words(grams) for grams in (28, 99, 340, 999, 1000, 1360, 2267, 2999, 27_215)] == [
        "28 g", "99 g", "340 g", "999 g", "1 kg", "1.36 kg", "2.26 kg", "2.99 kg", "27.2 kg",
    ]  # fmt: skip


def test_the_letters_grow_with_the_panel() -> None:
    """The labeling guide's table: to 5 square inches 1/16 in, to 25 1/8, to 100 3/16, to 400 1/4, beyond 1/2."""
    square_inch, inch = Fraction("645.16"), Fraction("25.4")
    heights = [type_height_mm(area * square_inch) / inch for area in (5, 6, 25, 26, 100, 101, 400, 401)]
    eighth = Fraction(1, 8)
    assert heights == [eighth / 2, eighth, eighth, 3 * eighth / 2, 3 * eighth / 2, 2 * eighth, 2 * eighth, 4 * eighth]


@pytest.mark.parametrize(("net_g", "tenths"), [(1, 0), (2, 1), (3, 1), (28, 10), (29, 10), (30, 10), (31, 11), (56, 20), (59, 21)])
def test_grams_stand_for_the_tenths_that_they_were_cut_from(net_g: int, tenths: int) -> None:
    """A tenth is 2.83 g: 28 were cut from 28.35, and 56 from 56.7; of what was cut from none the rest is left out."""
    assert ounces_of(net_g) == Fraction(tenths, 10)
