"""Rules and examples: names and shape. What rules mean together is checked elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain
from typing import Final, get_args

from rules.answer import Status
from rules.catalog import (
    Case,
    Catalog,
    Caution,
    Exclusion,
    Recommendation,
    Requirement,
    Rule,
)
from rules.catalog_faults.names import Known, name_faults, repeated_faults
from rules.catalog_faults.places import case_place, rule_place
from rules.catalog_faults.wording import nearest, quoted
from rules.faults import Fault
from rules.money import minor_units

FEWEST_TOGETHER: Final = 2
"""An exclusion of one expression would be a limit."""

EXPECTED_NAMES: Final = {
    "renews": "part_types",
    "keeps": "part_types",
    "add_ons": "part_types",
    "steps": "steps",
    "not_steps": "steps",
    "rules": "rules",
    "asks": None,
    "parts": None,
}
"""What a case may expect as a list of names, and what the names must be."""


class _Names:
    """Everything that rules and cases may refer to."""

    def __init__(self, catalog: Catalog) -> None:
        self.part_types = Known(
            "part type", (one.id for one in catalog.part_types), "Declare it in catalog.yaml."
        )
        self.steps = Known(
            "step", (one.id for one in catalog.steps), "Add it to a file under work."
        )
        self.jobs = Known("job", (one.id for one in catalog.jobs), "Add it to a file under work.")
        self.rules = Known(
            "rule", (one.id for one in catalog.rules), "Add it to a file under rules."
        )
        self.tools = Known("tool", (one.id for one in catalog.tools), "Add it to tools.csv.")
        self.vehicles = Known(
            "configuration", (one.id for one in catalog.vehicles), "Add it to vehicles.csv."
        )
        self.exponent = catalog.currency_exponent


def stated_faults(catalog: Catalog) -> Iterator[Fault]:
    """Faults of rules and cases, except their expressions."""
    names = _Names(catalog)
    rules = [(rule.id, rule_place(rule)) for rule in catalog.rules]
    cases = [(case.id, case_place(case)) for case in catalog.cases]
    for kind, keyed in (("rule", rules), ("case", cases)):
        yield from repeated_faults(kind, keyed, "id")
        yield from chain.from_iterable(name_faults(f"{at}:id", name) for name, at in keyed)
    yield from chain.from_iterable(_rule(rule, names) for rule in catalog.rules)
    yield from chain.from_iterable(_case(case, names) for case in catalog.cases)


def _rule(rule: Rule, names: _Names) -> Iterator[Fault]:
    where = rule_place(rule)
    if isinstance(rule, Requirement):
        yield from _requirement(rule, where, names)
    elif isinstance(rule, Exclusion):
        if len(rule.not_together) < FEWEST_TOGETHER:
            yield Fault(
                f"{where}:not_together",
                "fewer than two things exclude each other",
                "List two or more, or write a limit.",
            )
    elif isinstance(rule, Recommendation):
        yield from names.part_types.faults(f"{where}:renew", rule.renew)
        if rule.life_km is not None and rule.life_km < 1:
            yield Fault(f"{where}:life_km", "life_km is below 1", "Write kilometres, or leave out.")
    elif isinstance(rule, Caution):
        yield from names.steps.list_faults(f"{where}:steps", rule.steps)
        yield from names.part_types.list_faults(f"{where}:parts", rule.parts)


def _requirement(rule: Requirement, where: str, names: _Names) -> Iterator[Fault]:
    asked = [
        field
        for field, value in (("renew", rule.renew), ("part_type", rule.part_type), ("do", rule.do))
        if value is not None
    ]
    if len(asked) != 1:
        problem = "asks for several things" if asked else "asks for nothing"
        yield Fault(
            f"{where}:{asked[1] if asked else 'renew'}",
            f"the requirement {problem}",
            "Give one of: renew; part_type with where; do.",
        )
    if (rule.part_type is None) != (rule.where is None):
        missing = "where" if rule.where is None else "part_type"
        yield Fault(
            f"{where}:{missing}",
            f"{missing} is missing beside its partner",
            "Give part_type and where together.",
        )
    if rule.quantity is not None and rule.renew is None:
        yield Fault(f"{where}:quantity", "a quantity without renew", "Give it beside renew only.")
    if isinstance(rule.quantity, int) and rule.quantity < 1:
        yield Fault(
            f"{where}:quantity", f"the quantity {rule.quantity} is below 1", "Write 1 or more."
        )
    for field, name in (("renew", rule.renew), ("part_type", rule.part_type)):
        if name is not None:
            yield from names.part_types.faults(f"{where}:{field}", name)
    if rule.do is not None:
        yield from names.steps.faults(f"{where}:do", rule.do)


def _case(case: Case, names: _Names) -> Iterator[Fault]:
    where = case_place(case)
    yield from _asked(case.request, f"{where}.request", names)
    if not case.expect:
        yield Fault(f"{where}:expect", "the case expects nothing", "Write what must come out.")
    for field, expected in case.expect.items():
        yield from _expected(f"{where}.expect:{field}", field, expected, names)


def _asked(request: Mapping[str, object], where: str, names: _Names) -> Iterator[Fault]:
    """The names in a request; its shape is checked by whoever runs the case."""
    vehicle = request.get("vehicle")
    configuration = vehicle.get("id") if isinstance(vehicle, Mapping) else None
    if isinstance(configuration, str):
        yield from names.vehicles.faults(f"{where}:vehicle", configuration)
    for field, known in (
        ("jobs", names.jobs),
        ("keep", names.part_types),
        ("add_ons", names.part_types),
        ("tools_owned", names.tools),
    ):
        yield from known.list_faults(f"{where}:{field}", _texts(request.get(field)))


def _texts(value: object) -> list[str]:
    return [one for one in value if isinstance(one, str)] if isinstance(value, list) else []


def _expected(where: str, field: str, value: object, names: _Names) -> Iterator[Fault]:
    checks: Mapping[str, Callable[[], Iterable[Fault]]] = {
        "status": lambda: _status(where, value),
        "total": lambda: _total(where, value, names.exponent),
        "minutes": lambda: _minutes(where, value),
    }
    if field in checks:
        yield from checks[field]()
    elif field in EXPECTED_NAMES:
        yield from _name_list(where, field, value, names)
    else:
        known = [*checks, *EXPECTED_NAMES]
        near = nearest(field, known)
        yield Fault(
            where,
            f"unknown field {quoted(field)}",
            (f"Did you mean {quoted(near)}? " if near else "") + f"Known here: {', '.join(known)}.",
        )


def _name_list(where: str, field: str, value: object, names: _Names) -> Iterator[Fault]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        yield Fault(where, "not a list of texts", "Write a list: [...].")
        return
    kind = EXPECTED_NAMES[field]
    if kind is not None:
        known: Known = getattr(names, kind)
        yield from known.list_faults(where, value)


def _status(where: str, value: object) -> Iterator[Fault]:
    if value not in get_args(Status):
        yield Fault(
            where,
            f"{quoted(value)} is not a status",
            f"Write one of: {', '.join(get_args(Status))}.",
        )


def _total(where: str, value: object, exponent: int) -> Iterator[Fault]:
    try:
        minor_units(value if isinstance(value, str) else "", exponent)
    except ValueError:
        yield Fault(
            where,
            f"{quoted(value)} is not an amount of money written as a text",
            'Write it in quotes, as in "1234.50".',
        )


def _minutes(where: str, value: object) -> Iterator[Fault]:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        yield Fault(where, f"{quoted(value)} is not a number of minutes", "Write digits only.")
