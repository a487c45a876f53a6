"""What a checked term reads and compares, found once when it is compiled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from types import MappingProxyType

from rules.expressions.closures import build
from rules.expressions.scope import Reads
from rules.expressions.terms import COMPARISONS, Apply, Constant, Read, Source, Term, reads_of
from rules.values import Failure, Unknown, Value


def fold(term: Term, tolerance: float) -> Term:
    """Work out every part that reads nothing and has a value."""
    if not isinstance(term, Apply):
        return term
    operands = tuple(fold(operand, tolerance) for operand in term.operands)
    folded = Apply(term.operator, operands, term.kind, term.unit, term.function)
    if not all(isinstance(operand, Constant) for operand in operands):
        return folded
    outcome = build(folded, tolerance)(None)
    if isinstance(outcome, Unknown | Failure):
        return folded
    return Constant(outcome, term.kind, term.unit)


def reads(term: Term) -> Reads:
    """Every name, by what it is."""
    names: dict[Source, set[tuple[str, ...]]] = defaultdict(set)
    for read in reads_of(term):
        names[read.source].add(read.arguments)

    def single(source: Source) -> frozenset[str]:
        return frozenset(arguments[0] for arguments in names[source])

    def pairs(source: Source) -> frozenset[tuple[str, str]]:
        return frozenset((arguments[0], arguments[1]) for arguments in names[source])

    return Reads(
        facts=single("fact"),
        target=pairs("target"),
        fitted=pairs("fitted"),
        renewed=single("renewed"),
        doing=single("doing"),
        present=single("present"),
        run_km=single("run_km"),
    )


class FactUse:
    """How facts are used: compared with constants directly, or in some other way."""

    def __init__(self, term: Term) -> None:
        self._compared: dict[str, set[Value]] = defaultdict(set)
        self._opaque: set[str] = set()
        self._visit(term)

    @property
    def compared_with(self) -> Mapping[str, frozenset[Value]]:
        return MappingProxyType({name: frozenset(v) for name, v in self._compared.items()})

    @property
    def opaque(self) -> frozenset[str]:
        return frozenset(self._opaque)

    def _visit(self, term: Term) -> None:
        if isinstance(term, Read):
            self._visit_bare(term)
        elif isinstance(term, Apply):
            fact, constants = _direct_comparison(term)
            if fact is not None:
                self._compared[fact].update(constants)
                return
            for operand in term.operands:
                self._visit(operand)

    def _visit_bare(self, read: Read) -> None:
        if read.source != "fact":
            return
        # A yes/no fact used as a condition says the same as ``== true``.
        if read.kind == "flag":
            self._compared[read.arguments[0]].add(True)
        else:
            self._opaque.add(read.arguments[0])


def _direct_comparison(term: Apply) -> tuple[str | None, list[Value]]:
    """The fact and the constants, when the term compares just these."""
    if term.operator not in COMPARISONS and term.operator != "in":
        return None, []
    facts = [t for t in term.operands if isinstance(t, Read) and t.source == "fact"]
    constants = [t.value for t in term.operands if isinstance(t, Constant)]
    if len(facts) != 1 or len(constants) != len(term.operands) - 1:
        return None, []
    return facts[0].arguments[0], [_as_kind(value, facts[0]) for value in constants]


def _as_kind(value: Value, read: Read) -> Value:
    """A whole constant as the number it stands for, where nothing is lost."""
    is_whole = isinstance(value, int) and not isinstance(value, bool)
    return float(value) if is_whole and read.kind == "number" and float(value) == value else value


def constants(term: Term) -> frozenset[Value]:
    """Every constant that stands somewhere in the term."""
    if isinstance(term, Constant):
        return frozenset({term.value})
    operands = term.operands if isinstance(term, Apply) else ()
    return frozenset().union(*map(constants, operands))


def loose_reads(term: Term) -> frozenset[Read]:
    """Reads that are used otherwise than compared with constants alone."""
    if isinstance(term, Read):
        return frozenset() if term.kind == "flag" else frozenset({term})
    if isinstance(term, Constant) or _compares_one_read(term):
        return frozenset()
    return frozenset().union(*map(loose_reads, term.operands))


def _compares_one_read(term: Apply) -> bool:
    others = [operand for operand in term.operands if not isinstance(operand, Constant)]
    compares = term.operator in COMPARISONS or term.operator == "in"
    return compares and len(others) == 1 and isinstance(others[0], Read)
