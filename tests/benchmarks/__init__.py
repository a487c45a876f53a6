"""Measurements, run by hand: ``python -m tests.benchmarks``. Never part of the test suite."""
