"""Tests of the build list as text."""
