"""``python3 -m tests``: set up with the test packages, run every test. Arguments go to pytest."""

from __future__ import annotations

import os
import sys

from api import bootstrap

EVERYTHING = ["-n", "auto", "--dist", "loadfile"]
"""All tests, a file at a time on every core."""


def main() -> int:
    """The exit status is pytest's."""
    bootstrap.enter("test", "tests", sys.argv[1:])
    import pytest  # noqa: PLC0415 - nothing was installed until here

    os.chdir(bootstrap.ROOT)
    return int(pytest.main(sys.argv[1:] or EVERYTHING))


if __name__ == "__main__":
    sys.exit(main())
