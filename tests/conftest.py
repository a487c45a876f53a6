"""Shared by all tests: the same examples on every run, and no clock in the verdict."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")
