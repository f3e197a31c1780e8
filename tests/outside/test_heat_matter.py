"""Wax, honey, ice and vans against what monographs, papers and the press say of them; each source stands beside its figure."""

from __future__ import annotations

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.heat.asking import ask

from honeyhold.heat import harm
from honeyhold.heat.network import Network, run, temperatures_c
from honeyhold.heat.parcel import QUICK, SLOW, USUAL, WAX_MELTED, pack_node, wax_node
from honeyhold.heat.request import check
from honeyhold.heat.weather import Weather
from reference.heat_words import wax_word

GAS_J_PER_MOL_K = 8.314


def test_wax_melts_over_the_range_that_was_measured() -> None:
    """DSC of beeswax: 38 to 68 C, 206 J/g (review of bio phase-change materials, ChemSusChem 2025, table 1); other papers 140 to 240."""
    assert (WAX_MELTED[0][0], WAX_MELTED[-1][0]) == (38.0, 68.0) and USUAL.wax_latent_j_per_kg == 206e3
    assert QUICK.wax_latent_j_per_kg == 140e3 and SLOW.wax_latent_j_per_kg == 240e3
    node = wax_node("a kilogram", 1.0, USUAL)
    through = node.enthalpy_j(68.0) - node.enthalpy_j(38.0)
    assert through == pytest.approx(206e3 + 30 * USUAL.wax_j_per_kg_k, rel=1e-9)
    assert node.temperature_c(node.enthalpy_j(38.0) + 103e3 + 20 * USUAL.wax_j_per_kg_k) < 64  # half melted below USP's 62-65 C top


def test_where_harm_begins_lies_between_what_is_published() -> None:
    """Hive 33-36 C for weeks unharmed; thin wax flows near 40 C (Pirk 2004); comb sags at 38-43 C under its honey (trade pages);
    DSC melting from 38 C; Ph. Eur. drop point 61-66 C, USP white wax 62-65 C."""
    usual = harm.THRESHOLDS
    assert usual["wax_floor_c"] == 38.0 and usual["wax_mark_c"] - 2 * usual["wax_mark_sd_k"] >= 38.0
    assert usual["wax_mark_c"] + 2 * usual["wax_mark_sd_k"] < usual["wax_slump_c"]
    assert usual["wax_run_c"] == 61.0 and usual["wax_run_c"] + 4 * usual["wax_run_sd_k"] <= 66


@given(st.floats(-30, 30))
def test_a_bar_never_above_thirty_is_firm(peak_c: float) -> None:
    assert wax_word([peak_c] * 500, load_pa=50_000) == "firm"


@given(st.floats(38.5, 200))
def test_a_warm_day_under_honey_marks_comb_as_hives_show_and_wax_runs_only_above_sixty_one(at_c: float) -> None:
    """Comb sags at 38-43 C under its load (trade pages; an estimate of 50 kPa); Ph. Eur.: the drop point begins at 61 C."""
    word = wax_word([at_c] * 24, load_pa=50_000)
    assert word != "firm" and (word == "run") is (round(at_c, 2) >= 61)


def activation_kj_per_mol(from_c: float, to_c: float, moisture_permille: float) -> float:
    """From two viscosities: Ea = R ln(eta1 / eta2) / (1/T1 - 1/T2)."""
    one, two = harm.viscosity_pa_s(from_c, moisture_permille), harm.viscosity_pa_s(to_c, moisture_permille)
    return GAS_J_PER_MOL_K * log(one / two) / (1 / (from_c + 273.15) - 1 / (to_c + 273.15)) / 1000


def test_honey_thins_as_measured_honeys_do() -> None:
    """Seven Polish honeys, 10-40 C, 14.7-18.0 % water: 1.76 to 252.6 Pa s, Ea 92.3-105.3 kJ/mol (J. Food Eng. 2006 75 43-49).

    Rosemary honey 30, 50, 70 C: 6.12, 0.603, 0.145 Pa s, mean Ea 81 (Pol. J. Food Nutr. Sci. 2018 68(3) 217). Honeys differ twofold.
    """
    assert 252.6 / 2 <= harm.viscosity_pa_s(10, 147) <= 252.6 * 2
    assert 1.76 / 2 <= harm.viscosity_pa_s(40, 180) <= 1.76 * 2
    assert 85 <= activation_kj_per_mol(10, 40, 165) <= 112
    for at_c, pa_s in ((30, 6.12), (50, 0.603), (70, 0.145)):
        assert pa_s / 2.5 <= harm.viscosity_pa_s(at_c, 165) <= pa_s * 2.5
    clover = GAS_J_PER_MOL_K * log(6.5 / 0.30) / (1 / 303.15 - 1 / 343.15) / 1000  # the row that our fit follows; rosemary is steeper
    assert clover == pytest.approx(66, abs=1) and activation_kj_per_mol(30, 70, 160) == pytest.approx(clover, abs=4)


def test_water_thins_honey_by_a_third_for_each_per_cent() -> None:
    """White 1975, 25 C, from 15.5 to 18.2 %: 13.8 to 4.8 Pa s, the step from memory: a loose band."""
    fall = harm.viscosity_pa_s(25, 155) / harm.viscosity_pa_s(25, 182)
    assert 13.8 / 4.8 / 1.3 <= fall <= 13.8 / 4.8 * 1.3


def test_a_pound_of_ice_lasts_as_its_latent_heat_says() -> None:
    """Box 250 x 200 x 150 mm, 35 K, R 0.62 m2K/W, A 0.235 m2: 13.3 W, and 1 lb of ice (334 kJ/kg) lasts 3.2 h."""
    network = Network([pack_node(0.4536, 334e3)], [], [(0, 0.235 / 0.62)])
    warm = temperatures_c(network, run(network, [0.0], [35.0] * 6, doublings=10), 0)
    flow_w = 0.235 / 0.62 * 35
    assert flow_w == pytest.approx(13.3, abs=0.05)
    assert warm[3] == pytest.approx(0.0, abs=1e-6) and warm[4] > 1.0  # still ice after 3 h, water after 4
    spent_h = 0.4536 * 334e3 / flow_w / 3600
    assert spent_h == pytest.approx(3.2, abs=0.05)


def test_a_delivery_van_in_a_phoenix_july_is_as_hot_as_the_press_reports() -> None:
    """Load space typical 50-52 C in heat, 60-66 C in extremes (trade and national press 2019-2024): a sanity band, no method given."""
    question = check(ask("85001", "2026-07-20"))
    hottest = [
        max(trip.around_c[stop.from_hour : stop.to_hour + 1])
        for trip in Weather(question).trips(question.asked_day, question.mailbox)
        for stop in trip.stops[4:]
        if stop.name == "van"
    ]
    assert 42 <= sum(hottest) / len(hottest) <= 56 and max(hottest) <= 66
