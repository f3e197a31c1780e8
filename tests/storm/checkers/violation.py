"""What a checker raises."""

from __future__ import annotations


class Violation(AssertionError):
    """Something that must hold does not; `checker` says who saw it."""

    def __init__(self, checker: str, what: str) -> None:
        super().__init__(f"{checker}: {what}")
        self.checker = checker
