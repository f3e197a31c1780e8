"""The repository itself: nothing in it that does not belong, and nothing missing that a fresh clone needs."""

from __future__ import annotations

import re
import subprocess
import tomllib
from fnmatch import fnmatch
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
LOCKS = ("requirements.lock", "requirements-test.lock", "requirements-setup.lock", "requirements-knock.lock")

REGISTRIES = [
    ".".join(parts)
    for parts in (
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("registry", "npmjs", "org"),
        ("npmjs", "com"),
        ("deb", "debian", "org"),
    )
]
MACHINE_PATHS = re.compile(r"(?<![\w.>})\]*-])/" + r"(?:work|root|tmp)/[\w.]")
JARGON = re.compile(
    r"\b(?:SKUs?|[Cc]arts?|[Cc]heckout|POS|[Ff]ul?filments?|[Ff]ulfillment|[Tt]ickets?|[Cc]hannels?|CRM"
    r"|[Bb]ackorders?|[Dd]ashboards?|[Pp]ipelines?)\b"
)


def tracked() -> list[Path]:
    """Every file that belongs to the repository, still on disk."""
    listed = subprocess.check_output(["git", "ls-files", "-z"], cwd=ROOT, text=True).split("\0")
    return [ROOT / name for name in listed if name and (ROOT / name).is_file()]


def read(path: Path) -> str:
    """Its text; a picture or a font has none."""
    data = path.read_bytes()
    return "" if b"\0" in data else data.decode("utf-8")


def places(pattern: re.Pattern[str], paths: list[Path]) -> list[str]:
    """Where the pattern is found: file, line, and what was found."""
    return [
        f"{path.relative_to(ROOT)}:{number}: {found[0]}"
        for path in paths
        for number, line in enumerate(read(path).splitlines(), 1)
        for found in pattern.finditer(line)
    ]


def test_no_file_names_a_registry_or_a_place_on_somebodys_machine() -> None:
    registries = re.compile("|".join(map(re.escape, REGISTRIES)))
    assert places(registries, tracked()) == []
    assert places(MACHINE_PATHS, tracked()) == []


HALF_MERGED = re.compile(r"^(<{7} |>{7} |={7}$)", re.MULTILINE)


def test_no_file_is_half_merged() -> None:
    assert HALF_MERGED.search(f"{'=' * 7}\n") and HALF_MERGED.search(f"a line\n{'<' * 7} HEAD\n")
    assert [path.name for path in tracked() if HALF_MERGED.search(read(path))] == []


def test_the_searches_find_what_they_look_for() -> None:
    """A search that finds nothing anywhere proves nothing."""
    assert MACHINE_PATHS.search("see /" + "work/main") and not MACHINE_PATHS.search("POST /api/" + "work/packing.plan")
    assert JARGON.search("the shopping " + "cart") and not JARGON.search("a carton, BroadcastChannel, position")


def test_the_words_on_screen_and_in_code_are_of_the_trade() -> None:
    endings = {".py", ".js", ".html", ".css", ".json", ".webmanifest"}
    ours = [path for path in tracked() if path.suffix in endings and path.name != "package-lock.json"]
    spoken = [path for path in ours if path.relative_to(ROOT).parts[0] in {"web", "server", "demo_seed"}]
    assert spoken
    assert places(JARGON, spoken) == []


def test_every_script_has_a_line_in_the_readme_or_for_developers() -> None:
    told = read(ROOT / "README.md") + read(ROOT / "DEVELOPERS.md")
    scripts = [path.name for path in tracked() if path.parent == ROOT / "scripts"]
    assert {"run", "test"} <= set(scripts)
    assert [name for name in scripts if f"scripts/{name}" not in told] == []


def test_the_package_takes_its_data_along() -> None:
    """What is no Python under server/honeyhold is found by pyproject's patterns, so an installed house is whole."""
    patterns = tomllib.loads(read(ROOT / "pyproject.toml"))["tool"]["setuptools"]["package-data"]["honeyhold"]
    package = ROOT / "server/honeyhold"
    data = [path.relative_to(package) for path in tracked() if package in path.parents and path.suffix != ".py"]
    data = [path for path in data if path.name != "py.typed"]
    assert Path("documents/templates/slip.html") in data
    lost = [str(path) for path in data if not any(fnmatch("/" + str(path), "*/" + p[3:]) for p in patterns)]
    assert lost == []


PINNED = re.compile(r"([a-z0-9][a-z0-9-]*)==([0-9][\w.]*)(?: ; [^\\]+)? \\")
HASH = re.compile(r"    --hash=sha256:[0-9a-f]{64}(?: \\)?")


def pinned(lock: str) -> dict[str, str]:
    """Name to version of a lock file."""
    return dict(found.groups() for line in read(ROOT / lock).splitlines() if (found := PINNED.fullmatch(line)))


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_files_pin_every_package_by_hash_and_hold_no_address(lock: str) -> None:
    lines = read(ROOT / lock).splitlines()
    assert [line for line in lines if not PINNED.fullmatch(line) and not HASH.fullmatch(line)] == []
    assert len(pinned(lock)) == sum(bool(PINNED.fullmatch(line)) for line in lines) > 2
    ends = [line for line in lines if HASH.fullmatch(line) and not line.endswith("\\")]
    assert len(ends) == len(pinned(lock)), "every package has its hashes"


def test_a_lock_file_serves_other_systems_and_pythons_too() -> None:
    """Greenlet, numpy and their like come as one file for each system and each Python."""
    text = read(ROOT / "requirements-test.lock")
    assert "sys_platform == 'win32'" in text
    assert all(text.partition(f"\n{name}==")[2].partition("==")[0].count("sha256") > 20 for name in ("numpy", "cffi", "pillow"))


def test_lock_files_hold_what_the_project_asks_for() -> None:
    project = tomllib.loads(read(ROOT / "pyproject.toml"))["project"]
    house, tests = project["dependencies"], project["optional-dependencies"]["test"]
    for lock, asked in zip(LOCKS, (house, house + tests), strict=False):
        for line in asked:
            wanted = Requirement(line)
            version = pinned(lock).get(canonicalize_name(wanted.name))
            assert version and version in wanted.specifier, f"{lock} has {version} for {line}: run scripts/lock"


def test_the_npm_lock_names_no_address_to_fetch_from() -> None:
    assert '"resolved"' not in read(ROOT / "web/package-lock.json")


def test_changes_are_told() -> None:
    version = tomllib.loads(read(ROOT / "pyproject.toml"))["project"]["version"]
    assert version in read(ROOT / "CHANGELOG.md")
