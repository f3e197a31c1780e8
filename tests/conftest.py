"""What holds for every test."""

from __future__ import annotations

from hypothesis import settings

# A shared or busy machine is slow now and then: a generated example is right or wrong, never late.
settings.register_profile("house", deadline=None)
settings.load_profile("house")
