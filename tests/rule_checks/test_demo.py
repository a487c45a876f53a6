"""The demo catalog loads, quickly, and what is odd in it is known and meant."""

from __future__ import annotations

from itertools import product

from rules.rule_checks import check_rules
from rules.rule_checks.search import MOST_CASES_IN_ALL
from tests.seed_data.demo import compiled_demo

MEANT = {
    # Every piston goes with every gasket sold so far: the limits wait for others.
    "rules/compression.yaml:squish_least:limit",
    "rules/compression.yaml:squish_most:limit",
}


def test_the_demo_catalog_has_no_faults_and_only_the_warnings_that_are_meant() -> None:
    found = check_rules(compiled_demo())
    assert found.faults == ()
    places = {warning.where for warning in found.warnings}
    dear_kits = {place for place in places if place.startswith("kits.csv:")}
    assert len(dear_kits) >= 2
    assert places - dear_kits == MEANT


def test_the_squish_limits_really_bind_nothing() -> None:
    """Any piston with any gasket that is sold, fitting together or not."""
    parts = compiled_demo().parts_of
    for piston, gasket in product(parts["piston"], parts["head_gasket"]):
        deck_mm, thickness_mm = piston.properties["deck_mm"], gasket.properties["thickness_mm"]
        assert isinstance(deck_mm, float)
        assert isinstance(thickness_mm, float)
        assert 0.75 <= deck_mm + thickness_mm <= 2.0


def test_the_demo_catalog_takes_a_small_part_of_what_may_be_looked_at() -> None:
    """A count instead of a clock: a tenth of the bound is enough."""
    found = check_rules(compiled_demo(), most=MOST_CASES_IN_ALL // 10)
    assert "rules" not in {warning.where for warning in found.warnings}
