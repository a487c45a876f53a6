"""What operations take on their own, what rules ask for besides, less what is shared: labour."""

from __future__ import annotations

import re

import pytest

from rules.text import render
from tests.listing.asked import answer_to
from tests.seed_data.demo import demo_catalog

CASES = [case.id for case in demo_catalog().cases if case.expect.get("status") != "conflict"]


def minutes(text: str) -> int:
    """``2 h 05 min`` at the end of a line, as minutes."""
    found = re.search(r"(-?)(?:(\d+) h )?(\d+) min$", text)
    assert found is not None, text
    sign, whole, rest = found.groups()
    return (-1 if sign else 1) * (60 * int(whole or 0) + int(rest))


@pytest.mark.parametrize("case", CASES)
def test_the_hours_as_printed_add_up_to_the_labour(case: str) -> None:
    build = answer_to(case)
    if build.totals is None or not build.steps:
        assert "HOW IT IS DONE" not in render(build, 132)
        return
    section = render(build, 132).split("HOW IT IS DONE", 1)[1].split("\n\n", 1)[0]
    rows = [minutes(line) for line in section.split("\n")[2:] if line.endswith(" min")]
    if "\n Labour " in section:
        assert rows.pop() == build.totals.labour_minutes
    assert sum(rows) == build.totals.labour_minutes
