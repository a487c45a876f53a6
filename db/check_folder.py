"""``python -m db.check_folder PATH``: every fault of a catalog folder, one a line.

Warnings go to standard error.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from db.checked import read_checked
from rules.faults import Faulty


def main(arguments: Sequence[str]) -> int:
    """0 when the folder is a catalog, 1 when it has faults, 2 when called wrongly."""
    if len(arguments) != 1:
        sys.stderr.write("usage: python -m db.check_folder PATH\n")
        return 2
    try:
        compiled, warnings = read_checked(arguments[0])
    except Faulty as faulty:
        lines = [*map(str, faulty.faults), f"{len(faulty.faults)} faults"]
        sys.stdout.write("".join(f"{line}\n" for line in lines))
        return 1
    sys.stderr.write("".join(f"warning: {warning}\n" for warning in warnings))
    catalog = compiled.catalog
    sys.stdout.write(
        f"no faults: {len(catalog.part_types)} part types, {len(catalog.parts)} parts, "
        f"{len(catalog.vehicles)} configurations, {len(catalog.rules)} rules\n"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
