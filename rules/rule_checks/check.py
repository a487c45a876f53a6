"""All checks of one catalog."""

from __future__ import annotations

from rules.catalog_faults.places import Places, canonical_places
from rules.compiled import CompiledCatalog
from rules.rule_checks.amounts import check_amounts
from rules.rule_checks.checking import Checking
from rules.rule_checks.report import RuleFindings
from rules.rule_checks.rule_by_rule import check_rule
from rules.rule_checks.search import MOST_CASES_IN_ALL, Search
from rules.rule_checks.situations import Configurations
from rules.rule_checks.sold import check_sold
from rules.rule_checks.work import check_work


def check_rules(
    compiled: CompiledCatalog, places: Places | None = None, *, most: int = MOST_CASES_IN_ALL
) -> RuleFindings:
    """Look at every rule on every configuration that it can tell apart.

    ``places``: where the table rows are written; by default where the canonical form of
    the folder has them. ``most``: builds looked at in all; what is then left is named in a
    warning.
    """
    at = canonical_places(compiled.catalog) if places is None else places
    checking = Checking(compiled, at, Search(compiled, most), Configurations(compiled))
    if not compiled.vehicles:
        checking.report.warning(
            "vehicles.csv",
            "there are no configurations, so rules were not looked at",
            "List the machines that the rules speak of.",
        )
        return checking.report.findings()
    for rule in compiled.rules.values():
        check_rule(checking, rule)
    check_work(checking)
    check_amounts(checking)
    check_sold(checking)
    return checking.report.findings()
