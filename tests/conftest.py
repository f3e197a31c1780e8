"""What holds for every test."""

from __future__ import annotations

from hypothesis import settings

# A shared or busy machine is slow now and then: a generated example is right or wrong, never late. The suite draws the same examples
# every time, so that it says something of the change and not of the day; `--hypothesis-profile=search` draws new ones.
settings.register_profile("house", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None)
settings.load_profile("house")
