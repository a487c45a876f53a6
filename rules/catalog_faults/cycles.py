"""Rings in a graph of names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from typing import Any, TypeVar

T = TypeVar("T")


def cycles(successors: Mapping[T, Sequence[T]]) -> Iterator[list[T]]:
    """Rings that must each be broken, as lists of nodes in order, the first node not repeated.

    After each ring found one of its edges is left out, so that every independent ring is
    reported and none twice.
    """
    edges = {node: list(targets) for node, targets in successors.items()}
    while True:
        try:
            TopologicalSorter(edges).prepare()
            return
        except CycleError as error:
            ring: Any = error.args[1]
        # graphlib lists predecessors first; our mapping names successors, so turn it round.
        nodes = list(reversed(ring))[:-1]
        start = min(range(len(nodes)), key=lambda index: repr(nodes[index]))
        nodes = nodes[start:] + nodes[:start]
        edges[nodes[-1]].remove(nodes[0])
        yield nodes
