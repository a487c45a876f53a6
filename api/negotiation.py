"""Which media type to answer with (RFC 9110 s. 12.5.1), and what a body says it is (s. 8.3)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final, NamedTuple

_range: Final = re.compile(r"^([\w!#$&^.+*-]+)/([\w!#$&^.+*-]+)$")
_weight: Final = re.compile(r"^q=(0(?:\.\d{0,3})?|1(?:\.0{0,3})?)$")


class MediaRange(NamedTuple):
    """One element of an Accept header; ``weight`` 0 means: never this."""

    type: str
    subtype: str
    weight: float

    def specificity(self, media_type: str) -> int:
        """How exactly this range names ``media_type``: 2 exact, 1 ``type/*``, 0 ``*/*``, -1 not."""
        kind, _, subtype = media_type.partition("/")
        if (self.type, self.subtype) == (kind, subtype):
            return 2
        if (self.type, self.subtype) == (kind, "*"):
            return 1
        return 0 if (self.type, self.subtype) == ("*", "*") else -1


def choose(accept: str | None, offers: Sequence[str]) -> str | None:
    """The offer that ``accept`` likes best, earlier offers first among equals; None: none.

    No header, or an empty one, accepts everything. Elements that cannot be read are passed over.
    """
    if accept is None or not accept.strip():
        return offers[0]
    ranges = [found for element in accept.split(",") if (found := _read_range(element))]
    weighed = [(_weight_of(offer, ranges), -place, offer) for place, offer in enumerate(offers)]
    weight, _, best = max(weighed)
    return best if weight > 0 else None


def _weight_of(offer: str, ranges: Sequence[MediaRange]) -> float:
    """The weight of the most specific range that names the offer (RFC 9110 s. 12.5.1)."""
    matches = [(found.specificity(offer), found.weight) for found in ranges]
    return max((match for match in matches if match[0] >= 0), default=(0, 0.0))[1]


def _read_range(element: str) -> MediaRange | None:
    name, *parameters = (piece.strip().lower() for piece in element.split(";"))
    matched = _range.match(name)
    if matched is None:
        return None
    weight = 1.0
    for parameter in parameters:
        if parameter in ("", "charset=utf-8"):
            continue
        if not (matched_weight := _weight.match(parameter)):
            return None  # asks for a form with a parameter that none of ours has
        weight = float(matched_weight[1])
    return MediaRange(matched[1], matched[2], weight)


def is_json(content_type: str | None) -> bool:
    """Whether a Content-Type says JSON: ``application/json`` or a ``+json`` suffix (RFC 6839)."""
    name = (content_type or "").partition(";")[0].strip().lower()
    return name == "application/json" or bool(re.match(r"^application/[\w.-]+\+json$", name))
