"""How many examples property tests draw: a moderate number, or many with `--hypothesis-profile thorough`."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("moderate", max_examples=60, deadline=None)
settings.register_profile("thorough", max_examples=1000, deadline=None)
settings.load_profile("moderate")
