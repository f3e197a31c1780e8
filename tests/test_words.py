"""What a person can meet says one word for one idea, in American English, and nothing of the machine.

The pairs are the table under *Words* in DEVELOPERS.md; American spelling is from memory and only keeps what was put right from
coming back.
"""

from __future__ import annotations

import importlib.machinery
import importlib.util
import re
import sys
from types import ModuleType

import pytest

from test_repository import ROOT

INSTEAD = {
    "the main computer, or your honey house": r"\bthe house('s)?\b",
    "owner": r"\bkeepers?\b",
    "mail": r"\b(by|in the|the) post\b(?! office)|\bpost(ing|ed)\b",
    "cancel": r"\blet(ting)? (it )?go\b",
    "packing: plain, padded, cold pack": r"\bdress(ed|ing|ings)?\b",
    "set aside for this device": r"\bshares?\b|\bin hand\b",
    "undo": r"\btak(e|en) (it )?back\b",
    "mold": r"\bmoulds?\b",
    "call": r"\brings? (before|when|them|first)\b|\bto ring\b",
    "careful": r"\bmind (the|your)\b",
    "add this device": r"\benrol|\bbelongs? to\b",
    "American spelling": r"\b(colour|neighbour|favour|honour|centre|metre|litre|grey|learnt|programme|organis|recognis)",
    "nothing of the machine": r"\bkernel\b|\bundefined\b|\bNaN\b|\bNone:|\bnull\b|traceback",
}
NOT_MET = {
    *((f"web/store/{name}.js", "not enrolled") for name in ("doors", "exchange", "log", "standing")),
    ("web/kernel/queue.js", "the kernel died"),
}
"""Marks that one module gives another: no screen shows them."""


def script(name: str) -> ModuleType:
    """A script of `scripts`, which has no ending, as a module."""
    sys.path.insert(0, str(ROOT / "scripts"))  # what scripts share
    loader = importlib.machinery.SourceFileLoader(f"{name}_script", str(ROOT / "scripts" / name))
    spec = importlib.util.spec_from_loader(loader.name, loader)
    assert spec is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[loader.name] = module
    loader.exec_module(module)
    return module


def the_script() -> ModuleType:
    """`scripts/words`."""
    return script("words")


@pytest.fixture(scope="module")
def met() -> list[tuple[str, int, str]]:
    """Every string of the screens and papers: file, line, words."""
    words = the_script()
    return [(said.file, said.line, said.words) for said in (*words.of_web(), *words.of_pages())]


def test_the_strings_are_found(met: list[tuple[str, int, str]]) -> None:
    """The script reads keys, sentences with holes and papers."""
    words = {words for _, _, words in met}
    assert words >= {"Read back, then promise", "all settings"}
    assert any(file.endswith("slip.html") for file, _, _ in met) and len(met) > 1000


@pytest.mark.parametrize("instead", INSTEAD)
def test_one_word_for_one_idea(met: list[tuple[str, int, str]], instead: str) -> None:
    wrong = re.compile(INSTEAD[instead], re.IGNORECASE)
    said = ((file, line, words) for file, line, words in met if (file, words) not in NOT_MET and not words.startswith("from importlib"))
    assert [f"{file}:{line}: {words}" for file, line, words in said if wrong.search(words)] == []


def test_each_word_of_the_table_has_its_word_in_code() -> None:
    """The table in DEVELOPERS.md: what it says stands in code does stand there."""
    page = (ROOT / "DEVELOPERS.md").read_text()
    table = page.split("## Words", 1)[1].split("\n## ", 1)[0]
    rows = [line for line in table.splitlines() if line.startswith("| ")][2:]
    named = {name for row in rows for name in re.findall(r"`([a-z_.]+)`", row.rsplit("|", 2)[1])}
    code = "".join(file.read_text() for file in [*(ROOT / "server").rglob("*.py"), *(ROOT / "web/store").rglob("*.js")])
    assert len(rows) > 15 and {name for name in named if not re.search(rf"\b{re.escape(name.split('.')[-1])}\b", code)} == set()
