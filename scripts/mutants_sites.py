"""Where a mistake can be planted in the server's Python, and what the file looks like with it: comparisons, sums, constants, conditions,
returns, calls for their effect. Standard library only; the text of a file is changed at one place and otherwise kept.

Left out is what nobody could ever notice: how much a cache holds by number (`maxsize=` of `lru_cache`: with one place more the same is
answered), and `strict=True` where two lists of one length go side by side (it speaks up for another mistake alone).
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Final

ROOT = Path(__file__).resolve().parent.parent
SERVER: Final = ROOT / "server" / "honeyhold"
PACKAGES: Final = tuple(sorted(path.parent.name for path in SERVER.glob("*/__init__.py")))

COMPARISONS: Final = {
    ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">", ast.Eq: "!=", ast.NotEq: "==",
    ast.Is: "is not", ast.IsNot: "is", ast.In: "not in", ast.NotIn: "in",
}  # fmt: skip
SUMS: Final = {ast.Add: "-", ast.Sub: "+", ast.Mult: "+", ast.FloorDiv: "*", ast.Div: "*", ast.Mod: "*"}


SIGNS: Final = {
    ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!=", ast.Is: "is", ast.IsNot: "is not",
    ast.In: "in", ast.NotIn: "not in", ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.FloorDiv: "//", ast.Div: "/", ast.Mod: "%",
}  # fmt: skip


@dataclass(frozen=True)
class Site:
    """One mistake that can be made: in which file, where in its text, and what stands there instead."""

    path: str
    """From the package's root, as `stock/lots.py`; the browser's from the tree's, as `web/store/log.js`."""
    line: int
    reached_at: int
    """What reach is told by: the line where its statement begins; in the browser's code the character where its function begins."""
    what: str
    start: int
    end: int
    instead: str
    number: int = 1
    """Which of those that read the same: one line may hold the same piece twice."""

    @property
    def name(self) -> str:
        """How the command prints it and takes it again."""
        return f"{self.path}:{self.line}:{self.what}@{self.start}"

    @property
    def key(self) -> str:
        """What stays the same when lines move: the file, the kind, and the text of the line with the mistake in it."""
        return f"{self.path} | {self.what} | {self.told}" + (f" #{self.number}" if self.number > 1 else "")

    @property
    def package(self) -> str:
        """`stock`, or `web/store`."""
        return self.path.partition("/")[0] if not self.path.startswith("web/") else "/".join(self.path.split("/")[:2])

    @property
    def told(self) -> str:
        """The line as it is and what becomes of the piece."""
        text = source(self.path)
        begin = text.rfind("\n", 0, self.start) + 1
        line = text[begin : text.find("\n", self.start)].strip()
        return f"{line}  [{' '.join(text[self.start : self.end].split())} -> {self.instead}]"

    def mutated(self) -> str:
        """The whole file with the mistake in it."""
        text = source(self.path)
        return text[: self.start] + self.instead + text[self.end :]


@cache
def source(path: str) -> str:
    """The text of one file."""
    return (ROOT / place(path)).read_text("utf-8")


def place(path: str) -> Path:
    """Where a file of a `Site` stands, from the tree's root."""
    return Path(path) if path.startswith("web/") else Path("server/honeyhold") / path


def sites_of(package: str) -> list[Site]:
    """Every place of one package, in the order of its files and lines; with some mistakes (`compiles`) nothing could run at all."""
    return numbered(site for path in sorted((SERVER / package).rglob("*.py")) for site in _sites(path.relative_to(SERVER).as_posix()))


def numbered(sites: Iterable[Site]) -> list[Site]:
    """The same places, those that read the same told apart."""
    seen, told = Counter[str](), []
    for site in sites:
        seen[site.key] += 1
        told.append(replace(site, number=seen[site.key]))
    return told


def compiles(site: Site) -> bool:
    """Whether the file can still be read in with the mistake; the browser's always counts as if it could."""
    if site.path.startswith("web/"):
        return True
    try:
        ast.parse(site.mutated())
    except SyntaxError:
        return False
    return True


class _Text:
    """One file: where a node stands in its text, and which statement it belongs to."""

    def __init__(self, path: str) -> None:
        self.path, self.text = path, source(path)
        self.tree = ast.parse(self.text)
        self._lines = self.text.splitlines()
        self._starts = [0]
        for line in self.text.splitlines(keepends=True):
            self._starts.append(self._starts[-1] + len(line))
        self._statement = dict(_statements(self.tree, 1))

    def at(self, line: int, column: int) -> int:
        """The character at a line and a column in bytes, as the parser tells it."""
        return self._starts[line - 1] + len(self._lines[line - 1].encode()[:column].decode())

    def whole(self, node: ast.expr | ast.stmt, what: str, instead: str) -> Site:
        """Something else in the place of a node."""
        start, end = self.at(node.lineno, node.col_offset), self.at(node.end_lineno or 0, node.end_col_offset or 0)
        return Site(self.path, node.lineno, self._statement[node], what, start, end, instead)

    def between(self, first: ast.expr, second: ast.expr, old: str, what: str, instead: str) -> Iterator[Site]:
        """Another sign between two nodes."""
        begin, until = self.at(first.end_lineno or 0, first.end_col_offset or 0), self.at(second.lineno, second.col_offset)
        where = self.text.find(old, begin, until)
        if where >= 0:
            line = self.text.count("\n", 0, where) + 1
            yield Site(self.path, line, self._statement[first], what, where, where + len(old), instead)


def _statements(node: ast.AST, line: int) -> Iterator[tuple[ast.AST, int]]:
    for child in ast.iter_child_nodes(node):
        own = child.lineno if isinstance(child, ast.stmt) else line
        yield child, own
        yield from _statements(child, own)


def _sites(path: str) -> Iterator[Site]:
    text = _Text(path)
    skipped = set(_of_no_effect(text.tree))
    for node in ast.walk(text.tree):
        if node not in skipped:
            yield from _between_signs(text, node)
            yield from _in_place(text, node)


def _between_signs(text: _Text, node: ast.AST) -> Iterator[Site]:
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        yield from text.between(node.left, node.comparators[0], SIGNS[type(node.ops[0])], "compare", COMPARISONS[type(node.ops[0])])
    elif isinstance(node, ast.BinOp) and type(node.op) in SUMS and not _joins_texts(node):
        yield from text.between(node.left, node.right, SIGNS[type(node.op)], "sum", SUMS[type(node.op)])
    elif isinstance(node, ast.BoolOp):
        old, new = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
        yield from text.between(node.values[0], node.values[1], old, "logic", new)


def _in_place(text: _Text, node: ast.AST) -> Iterator[Site]:
    if isinstance(node, ast.If | ast.While):
        yield text.whole(node.test, "condition", f"not ({ast.unparse(node.test)})")
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield text.whole(node, "not", f"({ast.unparse(node.operand)})")
    elif isinstance(node, ast.Constant) and type(node.value) in (int, bool):
        yield text.whole(node, "constant", str(not node.value) if isinstance(node.value, bool) else str(node.value + 1))
    elif isinstance(node, ast.Return) and node.value is not None and not _none(node.value):
        yield text.whole(node, "return", "return None")
    elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
        yield text.whole(node, "call", "pass")


def _none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _joins_texts(node: ast.BinOp) -> bool:
    """Joining and formatting texts: turning their signs round only breaks them loudly."""
    parts = (node.left, node.right)
    return any(isinstance(part, ast.JoinedStr) or (isinstance(part, ast.Constant) and isinstance(part.value, str)) for part in parts)


def _of_no_effect(tree: ast.Module) -> Iterator[ast.AST]:
    """Annotations, what only the type checker reads, the inside of formatted texts (not every Python tells their places), and what the
    head of this file names."""
    for node in ast.walk(tree):
        for part in _hidden(node):
            yield from ast.walk(part)


def _hidden(node: ast.AST) -> list[ast.AST]:
    if isinstance(node, ast.AnnAssign):
        return [node.annotation]
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        arguments = [*node.args.args, *node.args.kwonlyargs, *node.args.posonlyargs]
        return [part for part in [node.returns, *(one.annotation for one in arguments)] if part]
    if isinstance(node, ast.Call):
        return [one.value for one in node.keywords if _is_never_noticed(node, one)]
    only_types = isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
    return [node] if only_types or isinstance(node, ast.JoinedStr) else []


def _is_never_noticed(call: ast.Call, given: ast.keyword) -> bool:
    """The size of a cache that keeps some by number, and the guard of a `zip`."""
    name = getattr(call.func, "id", getattr(call.func, "attr", ""))
    is_a_number = isinstance(given.value, ast.Constant) and type(given.value.value) is int and given.value.value > 1
    is_a_guard = isinstance(given.value, ast.Constant) and given.value.value is True
    return (name == "lru_cache" and given.arg == "maxsize" and is_a_number) or (name == "zip" and given.arg == "strict" and is_a_guard)
