"""Words for temperatures, and chances as they are said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from honeyhold.heat import harm
from honeyhold.heat.chance import Numbers, normal_quantile, normal_share_below, words_of


def test_every_threshold_names_its_source_or_says_common_practice() -> None:
    assert all(
        len(source) > 14 or source == "common practice" for _, source in harm.THRESHOLD_SOURCES.values()
    )


def test_the_bounds_of_the_words_for_wax() -> None:
    """USP and Ph. Eur. melting ranges, JECFA's 35 C: never above 30 is safe, above 35 at least dented, run
    only above 61.
    """
    assert harm.wax_word(30.0) == "firm"
    assert harm.wax_word(30.0, load_pa=1e6) == "firm"
    assert harm.wax_word(35.01) == "dented"
    assert harm.wax_word(46.0) == "slumped"
    assert harm.wax_word(60.9) == "slumped"
    assert harm.wax_word(61.1) == "run"


@given(st.floats(-20, 90), st.floats(0, 30), st.floats(0, 1e4))
def test_hotter_or_heavier_is_never_milder(peak: float, more: float, load: float) -> None:
    order = harm.WAX_WORDS.index
    assert order(harm.wax_word(peak + more)) >= order(harm.wax_word(peak))
    assert order(harm.wax_word(peak, load_pa=load)) >= order(harm.wax_word(peak))


def test_a_last_bit_decides_nothing() -> None:
    assert harm.wax_word(35.0 - 1e-12) == harm.wax_word(35.0 + 1e-12) == "dented"


def test_a_jar_gets_loose_before_it_weeps_and_earlier_when_wetter_or_higher() -> None:
    limits = harm.honey_limits_c(harm.THRESHOLDS, 175, (300, 300), True)
    assert 35 < limits[0] < limits[1] < 60
    wetter = harm.honey_limits_c(harm.THRESHOLDS, 190, (300, 300), True)
    assert wetter[0] < limits[0] and wetter[1] < limits[1]
    higher = harm.honey_limits_c({**harm.THRESHOLDS, "honey_weep_kpa": 60.0}, 175, (300, 2000), True)
    lower = harm.honey_limits_c({**harm.THRESHOLDS, "honey_weep_kpa": 60.0}, 175, (300, 300), True)
    assert higher[1] < lower[1]


def test_one_trip_hardly_darkens() -> None:
    """8 h at 50 C add about 1.5 mg/kg HMF by the rate law."""
    assert harm.hmf_dose_mg_per_kg([49.5] * 8) == pytest.approx(1.5, abs=0.1)


@pytest.mark.parametrize(
    ("permille", "said"),
    [(0, "under 1 in 100"), (9, "under 1 in 100"), (17, "1 in 60"), (20, "1 in 50"),
     (250, "1 in 4"), (500, "1 in 2"),
     (900, "9 in 10"), (1000, "over 99 in 100")],
)  # fmt: skip
def test_chances_are_said_as_odds(permille: int, said: str) -> None:
    assert words_of(permille) == said


@given(st.integers(0, 999))
def test_a_likelier_harm_never_sounds_rarer(permille: int) -> None:
    def value(said: str) -> float:
        numbers = [int(word) for word in said.split() if word.isdigit()]
        return numbers[0] / numbers[1] + ("over" in said) / 1000 - ("under" in said) / 1000

    assert value(words_of(permille)) <= value(words_of(permille + 1))


def test_words_need_an_even_chance_to_get_worse() -> None:
    assert harm.word_for((20, 5, 0), harm.WAX_WORDS, 20) == "firm"
    assert harm.word_for((21, 5, 0), harm.WAX_WORDS, 20) == "dented"
    assert harm.word_for((900, 500, 0), harm.WAX_WORDS, 20) == "slumped"
    assert harm.word_for((999, 900, 600), harm.WAX_WORDS, 20) == "run"


def test_draws_meet_every_part_once_and_repeat_from_their_seed() -> None:
    assert sorted(Numbers(5).strata(8)) == [(k + 0.5) / 8 for k in range(8)]
    assert Numbers(5).strata(40) == Numbers(5).strata(40) != Numbers(6).strata(40)
    # Published first outputs of this generator from seed 1234567 (reference values in common use).
    numbers = Numbers(1234567)
    assert [numbers.whole() for _ in range(2)] == [6457827717110365317, 3203168211198807973]
    assert normal_share_below(normal_quantile(0.975)) == pytest.approx(0.975, abs=1e-8)
