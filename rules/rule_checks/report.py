"""What the checks found: faults refuse the catalog, warnings are only listed."""

from __future__ import annotations

from dataclasses import dataclass, field

from rules.faults import Fault

NAMED_UNFINISHED = 5


@dataclass(frozen=True, slots=True)
class RuleFindings:
    """``warnings`` have the shape of faults: what is odd, where, and what would mend it."""

    faults: tuple[Fault, ...]
    warnings: tuple[Fault, ...]


@dataclass(slots=True)
class Report:
    """Findings as they come, each once."""

    _faults: dict[Fault, None] = field(default_factory=dict)
    _warnings: dict[Fault, None] = field(default_factory=dict)
    _unfinished: dict[str, None] = field(default_factory=dict)

    def fault(self, where: str, problem: str, mend: str) -> None:
        """Something that cannot be meant."""
        self._faults[Fault(where, problem, mend)] = None

    def warning(self, where: str, problem: str, mend: str) -> None:
        """Something that is probably not meant."""
        self._warnings[Fault(where, problem, mend)] = None

    def unfinished(self, where: str) -> None:
        """There were too many cases to look at all of them."""
        self._unfinished[where] = None

    def findings(self) -> RuleFindings:
        """Everything found, with one warning for all that was not looked at whole."""
        if self._unfinished:
            self._add_unfinished()
        return RuleFindings(tuple(self._faults), tuple(self._warnings))

    def _add_unfinished(self) -> None:
        names = list(self._unfinished)
        more = len(names) - NAMED_UNFINISHED
        listed = ", ".join(names[:NAMED_UNFINISHED]) + (f" and {more} more" if more > 0 else "")
        self.warning(
            "rules",
            f"not checked whole, there are too many cases: {listed}",
            "Nothing need be done; shorter rules that read fewer part types are checked whole.",
        )
