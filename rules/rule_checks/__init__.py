"""Whether the rules and the work of a catalog make sense on the machines it lists.

Faults refuse a catalog: conditions that contradict themselves or never hold, factory
machines that break a rule, renewals for which there is no part at all, places that no work
reaches. Warnings are listed and nothing more.
"""

from rules.rule_checks.check import check_rules
from rules.rule_checks.report import RuleFindings

__all__ = ["RuleFindings", "check_rules"]
