"""``python3 -m tests``: set up with the test packages, run every test. Arguments go to pytest."""

from __future__ import annotations

import os
import sys

from api import bootstrap

EVERYTHING = ["-n", "auto", "--dist", "loadfile"]
"""All tests, a file at a time on every core; a narrower choice runs as it is asked for."""


def main() -> int:
    """The exit status is pytest's."""
    bootstrap.enter("test", "tests", sys.argv[1:])
    import pytest  # noqa: PLC0415 - nothing was installed until here

    os.chdir(bootstrap.ROOT)
    arguments = sys.argv[1:]
    narrowed = any(not argument.startswith("-") for argument in arguments)
    return int(pytest.main(arguments if narrowed else [*EVERYTHING, *arguments]))


if __name__ == "__main__":
    sys.exit(main())
