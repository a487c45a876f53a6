"""Checks against things published outside this project; docs/sources.md lists them."""
