"""Candidates that can never be the better choice are left out before anything is solved."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping

from rules.catalog import Part, PartKey


def undominated(
    parts: tuple[Part, ...],
    *,
    look: Callable[[Part], Hashable],
    weights: Callable[[Part], tuple[int, ...]],
    protected: Collection[PartKey],
    usable: Callable[[Part], bool],
) -> tuple[Part, ...]:
    """Of candidates that no rule can tell apart, those that none of them undercuts.

    ``weights`` gives one weight for each quantity that may be needed; a candidate goes
    when another ``usable`` one of its look is at most as dear at every one. Weights carry the
    rank, so two are never equal. ``protected`` ones (wanted, refused or in a kit) always stay.
    """
    by_look: dict[Hashable, list[Part]] = {}
    for part in parts:
        by_look.setdefault(look(part), []).append(part)
    known = {
        part.key: weights(part) for alike in by_look.values() if len(alike) > 1 for part in alike
    }
    kept = {
        part.key
        for alike in by_look.values()
        for rivals in ([other for other in alike if usable(other)],)
        for part in alike
        if part.key in protected or not (len(alike) > 1 and _undercut(part, rivals, known))
    }
    return tuple(part for part in parts if part.key in kept)


def _undercut(part: Part, rivals: list[Part], weights: Mapping[PartKey, tuple[int, ...]]) -> bool:
    own = weights[part.key]
    return any(
        other.key != part.key
        and all(its <= mine for its, mine in zip(weights[other.key], own, strict=True))
        for other in rivals
    )
