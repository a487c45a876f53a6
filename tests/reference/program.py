"""A 0-1 programme as plain data, so that any solver can be given it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NewType

Variable = NewType("Variable", int)
"""Its number, from 1. As a literal, the negative number means: is not so."""

Sum = list[tuple[int, int]]
"""Pairs of factor and variable."""


@dataclass
class Program:
    """``clauses``: in each, one literal is so. ``equal``: each sum is exactly that.
    ``objectives``: minimised one after the other."""

    names: list[str] = field(default_factory=list)
    clauses: list[list[int]] = field(default_factory=list)
    equal: list[tuple[Sum, int]] = field(default_factory=list)
    objectives: list[Sum] = field(default_factory=list)

    def flag(self, name: str) -> Variable:
        """A new variable that is 0 or 1."""
        self.names.append(name)
        return Variable(len(self.names))

    def either(self, literals: Iterable[int]) -> None:
        """One of the literals is so."""
        self.clauses.append(list(literals))

    def implies(self, one: int, two: int) -> None:
        """If the first literal is so then so is the second."""
        self.clauses.append([-one, two])

    def sums_to(self, variables: Iterable[int], total: int) -> None:
        """As many as the variable ``total`` says, which is 0 or 1."""
        self.equal.append(([(1, one) for one in variables] + [(-1, total)], 0))
