"""Content negotiation, against the examples of RFC 9110 s. 12.5.1."""

from __future__ import annotations

import pytest

from api.negotiation import choose, is_json

OFFERS = ("application/json", "text/plain")
PRECEDENCE = "text/*;q=0.3, text/plain;q=0.7, text/plain;format=flowed, text/html;q=0.4, */*;q=0.5"
"""The RFC's example of precedence, its ``text/html;level=1`` moved to ``text/html``."""


@pytest.mark.parametrize(
    ("accept", "chosen"),
    [
        (None, "application/json"),
        ("", "application/json"),
        ("*/*", "application/json"),
        ("text/plain", "text/plain"),
        ("TEXT/Plain ; charset=utf-8", "text/plain"),
        ("text/*", "text/plain"),
        ("text/plain, application/json;q=0.5", "text/plain"),
        ("text/plain;q=0.5, application/json;q=0.5", "application/json"),
        ("application/json;q=0, */*", "text/plain"),
        ("text/plain;q=0.0, text/*", None),
        ("image/png", None),
        ("*/*;q=0", None),
        ("text/plain;format=flowed", None),
        ("nonsense, text/plain;q=7, text/plain;q=0.2", "text/plain"),
        ("nonsense", None),
        (",,", None),
        ("*/plain", None),
    ],
)
def test_choice(accept: str | None, chosen: str | None) -> None:
    assert choose(accept, OFFERS) == chosen


@pytest.mark.parametrize(
    ("better", "worse"),
    [("text/plain", "image/jpeg"), ("image/jpeg", "text/html"), ("text/html", "text/css")],
)
def test_precedence_of_the_rfc(better: str, worse: str) -> None:
    """text/plain 0.7, image/jpeg 0.5, text/html 0.4, other text 0.3."""
    assert choose(PRECEDENCE, (worse, better)) == better


@pytest.mark.parametrize(
    ("content_type", "json"),
    [
        ("application/json", True),
        ("Application/JSON; charset=utf-8", True),
        ("application/vnd.example+json", True),
        ("text/json", False),
        ("text/plain", False),
        ("application/x-www-form-urlencoded", False),
        ("", False),
        (None, False),
    ],
)
def test_json_by_its_name(content_type: str | None, json: bool) -> None:
    assert is_json(content_type) is json
