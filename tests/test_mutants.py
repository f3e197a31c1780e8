"""The command that plants mistakes: what it draws, whom it asks, and how it counts."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "scripts"))

import mutants_sites  # noqa: E402
from mutants_kept import Kept, in_words  # noqa: E402
from mutants_planted import Outcome, Planted, Verdict, outcome_of  # noqa: E402
from mutants_reach import _test, _turn_about, moved  # noqa: E402
from mutants_sites import Site, numbered  # noqa: E402
from mutants_stories import functions_around, stories_of  # noqa: E402
from mutants_web import FOR_WORKERS, Heard, WebReach, moved_back  # noqa: E402

PRICES = "def dearer(price):\n    return price + 1 if price > 1 else 0\n"


@pytest.fixture
def places(monkeypatch: pytest.MonkeyPatch) -> list[Site]:
    """Every place of one small file."""
    monkeypatch.setattr(mutants_sites, "source", lambda path: PRICES)
    return numbered(mutants_sites._sites("stock/prices.py"))


def test_two_places_that_read_the_same_are_told_apart(places: list[Site]) -> None:
    """Each is planted, kept and excused for itself."""
    assert len({site.key for site in places}) == len(places)
    ones = [site for site in places if site.instead == "2"]
    assert [site.key.endswith(" #2") for site in ones] == [False, True]
    assert {site.mutated().splitlines()[1] for site in ones} == {
        "    return price + 2 if price > 1 else 0",
        "    return price + 1 if price > 2 else 0",
    }


def test_what_nobody_could_notice_is_not_planted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is planted in a cache's size or in a guard; in a cache of one, or a guard that is off, it is."""
    code = "@lru_cache(maxsize=50)\ndef sides(one, other):\n    for pair in zip(one, other, strict=True):\n        yield pair\n"
    for text, number in ((code, 0), (code.replace("50", "1"), 1), (code.replace("True", "False"), 1)):
        monkeypatch.setattr(mutants_sites, "source", lambda path, text=text: text)
        assert len(list(mutants_sites._sites("stock/prices.py"))) == number


def test_what_was_kept_is_summed_up_and_the_last_line_counts(places: list[Site], tmp_path: Path) -> None:
    """A mistake that got by and was caught later is a caught one; what was not planted yet counts for nothing."""
    first, second, *_ = places
    file = tmp_path / "kept"
    kept = Kept(file)
    kept.add(first, Outcome(Verdict.SURVIVED))
    kept.add(second, Outcome(Verdict.SURVIVED))
    Kept(file).add(first, Outcome(Verdict.CAUGHT, "tests/a.py::test_b"))
    sums = Kept(file).sums(places)
    assert list(sums) == ["stock"]
    assert in_words(sums["stock"]) == "2 planted: 1 of 2 caught (50.0 %), 0 of them by coming to no end; 0 equivalent, 0 unknown"


def test_what_is_listed_as_equivalent_does_not_count(places: list[Site], monkeypatch: pytest.MonkeyPatch) -> None:
    """Only where tests ran and let it by: one that no test reaches stays let by."""
    first, second, *_ = places
    monkeypatch.setattr("mutants_kept.equivalents", lambda: {first.key, second.key})
    kept = Kept(None)
    kept.add(first, Outcome(Verdict.SURVIVED))
    kept.add(second, Outcome(Verdict.UNREACHED))
    told = in_words(kept.sums(places)["stock"])
    assert told == "2 planted: 0 of 1 caught (0.0 %), 0 of them by coming to no end; 1 equivalent, 0 unknown"


def test_a_line_that_moved_is_found_again() -> None:
    """A line that came anew is reached by whoever reaches the one before it."""
    assert moved(["a", "b", "c"], ["new", "a", "new", "c"]) == [1, 1, 1, 3]
    assert moved(["a", "b"], ["a", "new", "b"]) == [1, 1, 2]


@pytest.mark.parametrize(
    ("code", "said", "verdict"),
    [
        (0, "3 passed", Verdict.SURVIVED),
        (1, "FAILED tests/a.py::test_b - assert 1 == 2", Verdict.CAUGHT),
        (2, "ERROR tests/a.py\nInterrupted: 1 error during collection", Verdict.CAUGHT),
        (1, "FAILED tests/a.py::test_b - MemoryError", Verdict.UNKNOWN),
        (2, "KeyboardInterrupt", Verdict.UNKNOWN),
        (3, "INTERNALERROR> OSError: [Errno 28]", Verdict.UNKNOWN),
        (4, "ERROR: not found: tests/a.py::test_b", Verdict.UNKNOWN),
        (4, "ERROR tests/a.py - TypeError: None\nERROR: not found: tests/a.py::test_b", Verdict.CAUGHT),
        (5, "no tests ran", Verdict.UNKNOWN),
        (-9, "", Verdict.UNKNOWN),
    ],
)  # fmt: skip
def test_only_a_test_that_failed_has_caught_a_mistake(code: int, said: str, verdict: Verdict) -> None:
    """Exit codes as pytest's reference has them; a negative one is a signal, -9 what a machine without memory ends it by."""
    assert outcome_of(code, said).verdict is verdict


def test_what_is_unknown_is_neither_caught_nor_let_by(places: list[Site], tmp_path: Path) -> None:
    """Files that were begun earlier call both caught."""
    first, second, third, *_ = places
    file = tmp_path / "kept"
    kept = Kept(file)
    kept.add(first, Outcome(Verdict.CAUGHT, "it did not start"))
    kept.add(second, Outcome(Verdict.CAUGHT, "it came to no end"))
    kept.add(third, Outcome(Verdict.CAUGHT, "tests/a.py::test_b"))
    told = in_words(Kept(file).sums(places)["stock"])
    assert told == "3 planted: 2 of 2 caught (100.0 %), 1 of them by coming to no end; 0 equivalent, 1 unknown"


def test_who_reaches_a_function_of_the_browsers_code() -> None:
    """Those first that reach most of its file a second; one that fails by itself says nothing."""
    heard = {
        "web/store/a.js:0": {"tests/b.py::test_first"},
        "web/store/a.js:70": {"tests/b.py::test_first", "tests/b.py::test_about_it", "tests/b.py::test_broken"},
        "web/store/a.js:90": {"tests/b.py::test_about_it"},
    }
    seconds = {"tests/b.py::test_first": 1.0, "tests/b.py::test_about_it": 1.0, "tests/b.py::test_broken": 1.0}
    reach = WebReach(seconds, {"tests/b.py::test_broken"}, heard=[Heard(heard, {})])
    assert reach.tests("web/store/a.js", 70) == ["tests/b.py::test_about_it", "tests/b.py::test_first"]
    assert reach.tests("web/store/a.js", 80) == []
    assert reach.tests("web/store/a.js", 0) == ["tests/b.py::test_about_it", "tests/b.py::test_first"]  # one page goes through both


def test_what_only_a_worker_runs_is_asked_of_single_tests() -> None:
    """A whole file has no time of its own: its run would be stopped too early and count as caught."""
    own = f"{FOR_WORKERS[0]}::test_a"
    reach = WebReach({own: 20.0, "tests/b.py::test_c": 1.0}, set(), heard=[Heard({"web/store/a.js:0": {"tests/b.py::test_c"}}, {})])
    assert reach.tests("web/kernel/worker.js", 812) == [own]


def test_a_function_that_moved_is_found_again() -> None:
    """By its line: one that is another since has no place in the text as it was."""
    before, today = "let a;\nconst f = () => a;\n", "let a;\nlet b;\nconst f = () => a;\n"
    assert moved_back(before, today, today.index("()")) == before.index("()")
    assert moved_back(before, today, today.index("b;")) is None and moved_back(before, before, 7) == 7


def test_a_copy_has_what_is_built_and_installed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """As far as it is there: the kernel is built from what is installed, and without it no test of the kernel's runs."""
    monkeypatch.setattr("mutants_planted.ROOT", tmp_path)
    monkeypatch.setattr("mutants_planted.COPIED", ("web",))
    for folder in (".venv", "web/kernel", "web/node_modules"):
        (tmp_path / folder).mkdir(parents=True)
    with Planted() as planted:
        assert sorted(path.name for path in planted.folder.iterdir()) == [".venv", "web"]
        assert (planted.folder / ".venv").resolve() == tmp_path / ".venv" and not (planted.folder / "web/kernel/built").exists()


@pytest.mark.parametrize(("without", "verdict"), [(Verdict.SURVIVED, Verdict.ENDLESS), (Verdict.ENDLESS, Verdict.UNKNOWN)])
def test_tests_that_come_to_no_end_by_themselves_have_caught_nothing(
    monkeypatch: pytest.MonkeyPatch, without: Verdict, verdict: Verdict
) -> None:
    """On a machine with much else to do."""
    planted = Planted()
    planted._last = (["tests/a.py::test_b"], 1.0)
    monkeypatch.setattr(planted, "_ran", lambda tests, wanted_s: Outcome(without))
    assert planted._looked_at_without(Outcome(Verdict.ENDLESS)).verdict is verdict
    assert planted._looked_at_without(Outcome(Verdict.CAUGHT)).verdict is Verdict.CAUGHT
    planted.__exit__(None, None, None)


@pytest.mark.parametrize(("by", "without", "verdict"), [
    ("tests/browser/test_a.py::test_b[c", Verdict.SURVIVED, Verdict.CAUGHT),
    ("tests/browser/test_a.py::test_b", Verdict.CAUGHT, Verdict.UNKNOWN),
    ("tests/browser/test_a.py::test_b", Verdict.ENDLESS, Verdict.UNKNOWN),
    ("tests/store/test_a.py::test_b", Verdict.CAUGHT, Verdict.CAUGHT),
])  # fmt: skip
def test_what_a_page_waited_for_in_vain_comes_without_the_mistake(
    monkeypatch: pytest.MonkeyPatch, by: str, without: Verdict, verdict: Verdict
) -> None:
    """Pages are waited for less long while one is planted."""
    with Planted() as planted:
        asked: list[list[str]] = []
        monkeypatch.setattr(planted, "_ran", lambda tests, wanted_s: (asked.append(tests), Outcome(without))[1])
        assert planted._looked_at_without(Outcome(Verdict.CAUGHT, by)).verdict is verdict
        assert asked == ([["tests/browser/test_a.py::test_b"]] if "browser" in by else [])


def test_what_a_test_starts_counts_for_the_test() -> None:
    """A server that it starts knows of it by what pytest says in the environment."""
    assert {_test(f"tests/a.py::test_b{more}") for more in ("|run", "|setup", " (call)", " (setup)")} == {"tests/a.py::test_b"}
    assert _test("tests/a.py::test_b[c (d)|e]|run") == _test("tests/a.py::test_b[c (d)|e] (teardown)") == "tests/a.py::test_b[c (d)|e]"
    assert _test("") == ""


def test_a_story_that_holds_a_function_is_known_by_its_name() -> None:
    """The innermost function first; a line outside of all has none."""
    lines = (mutants_sites.SERVER / "stock" / "ledger.py").read_text("utf-8").splitlines()
    inside = 1 + next(at for at, text in enumerate(lines) if text.startswith("def _dollars"))
    assert functions_around("stock/ledger.py", inside) == ["_dollars"]
    assert functions_around("stock/ledger.py", 1) == [] == stories_of("stock/ledger.py", 1)
    assert stories_of("stock/ledger.py", inside)[0].startswith("tests/steps/")


def test_files_take_turns_and_the_parameters_of_one_test_stand_back() -> None:
    """Those of one test look at the same thing."""
    first, again, other, elsewhere = "a.py::test_a[1]", "a.py::test_a[2]", "a.py::test_b", "c.py::test_c"
    assert _turn_about([first, again, other, elsewhere]) == [first, elsewhere, other, again]
