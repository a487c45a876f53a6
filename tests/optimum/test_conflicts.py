"""Conflicts are minimal: impossible with everything else gone, possible with any one gone."""

from __future__ import annotations

import pytest

from tests.reference.generator import SMALL, TINY, Shape, generate

from .answers import answer_to, answered
from .relaxed import elements_of, only_requests, only_rules, possible_with_only


@pytest.mark.parametrize(
    ("shape", "first", "least"), [(TINY, 0, 40), (TINY, 200, 40), (SMALL, 0, 30)]
)
def test_conflicts_are_sufficient_and_minimal(shape: Shape, first: int, least: int) -> None:
    checked = 0
    for seed in range(first, first + 120):
        generated = generate(seed, shape)
        for conflict in answered(generated).conflicts:
            elements = elements_of(conflict)
            assert elements, seed
            assert not possible_with_only(generated, elements), (seed, sorted(elements))
            for one in elements:
                assert possible_with_only(generated, elements, one), (seed, one, sorted(elements))
            checked += 1
    assert checked >= least


def test_the_cited_rules_and_requests_alone_still_conflict() -> None:
    """The same through the engine itself; a conflict that names no wish cannot be asked."""
    checked = 0
    for seed in range(150):
        generated = generate(seed, TINY)
        for conflict in answered(generated).conflicts:
            kept = elements_of(conflict)
            request = only_requests(generated, kept)
            if request.jobs or request.parts_wanted or request.add_ons:
                answer = answer_to(only_rules(generated, kept).catalog, request)
                assert answer.status == "conflict", (seed, sorted(kept))
                checked += 1
    assert checked >= 40
