"""``python3 -m api``: set up, load the demo catalog where none is in force, show a
build list, serve. Needs nothing."""

from __future__ import annotations

import argparse
import sys

from api import bootstrap


def arguments() -> argparse.ArgumentParser:
    """What the first command can be told."""
    parser = argparse.ArgumentParser(
        prog="python3 -m api",
        description="Set up Once Apart, load the demo catalog unless a catalog is in force, show a"
        " build list, serve the API.",
    )
    parser.add_argument("--no-serve", action="store_true", help="stop after the build list")
    parser.add_argument("--host", default="127.0.0.1", help="address to serve on (%(default)s)")
    parser.add_argument("--port", type=int, default=8000, help="port to serve on (%(default)s)")
    return parser


def main() -> int:
    """Exit status: 0 done, 1 the set-up failed, 2 called wrongly or the input was refused."""
    given = arguments().parse_args()
    bootstrap.enter("run", "api", sys.argv[1:])
    from api.first_run import first_run  # noqa: PLC0415 - nothing was installed until here

    return first_run(serve_too=not given.no_serve, host=given.host, port=given.port)


if __name__ == "__main__":
    sys.exit(main())
