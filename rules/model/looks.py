"""How candidates look to the rules that matter."""

from __future__ import annotations

from collections.abc import Hashable

from rules.catalog import Part, PartKey
from rules.model.checks import Check
from rules.model.reach import Reach
from rules.model.tables import Tables


class Looks:
    """How each candidate looks to all checks that matter: equal looks, equal behaviour."""

    def __init__(self, checks: list[Check], tables: Tables, reach: Reach) -> None:
        self._looks: dict[tuple[str, PartKey], list[Hashable]] = {}
        for check in checks:
            for axis in tables.table(check, reach).axes:
                for group in axis.groups:
                    for member in group.members:
                        if isinstance(member, PartKey):
                            self._looks.setdefault((axis.name, member), []).append(group.look)

    def of(self, place: str, part: Part) -> tuple[Hashable, ...]:
        """Everything any check can tell about the candidate."""
        return tuple(self._looks.get((place, part.key), ()))
