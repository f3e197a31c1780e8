"""Sets up what the tests need and runs every check; with arguments, these tests alone.

    scripts/test                         every check, but for the long tests: some eight minutes
    scripts/test --quick                 linters, types and the quick tests: less than a minute
    scripts/test --all                   the long tests too, before a release: more than twice as long
    scripts/test tests/packing -k wall     these tests alone
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))


def keep_what_was_compiled(folder: Path) -> None:
    """Python keeps what it compiles in this folder, also where it was told to keep nothing: a run starts it some hundred times."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = str(folder)


def main() -> int:
    """Sets up, then tests."""
    import set_up
    import set_up_steps as steps

    if set_up.main(["--tests"]):
        return 1
    os.chdir(steps.ROOT)
    keep_what_was_compiled(steps.ROOT / ".setup" / "compiled")
    own = not sys.argv[1:] or sys.argv[1:] in (["--quick"], ["--all"])
    wanted = ["scripts/every_check.py", *sys.argv[1:]] if own else ["-m", "pytest", *sys.argv[1:]]
    return subprocess.call([str(steps.VENV_PYTHON), *wanted])


if __name__ == "__main__":
    sys.exit(main())
