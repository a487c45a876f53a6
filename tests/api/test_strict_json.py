"""Strict JSON: what RFC 8259 leaves open and RFC 7493 closes."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from api.strict_json import Json, NotStrictJson, exact_whole, loads, max_depth

REFUSED = {
    "nothing": b"",
    "not JSON": b"{",
    "NaN": b'{"a": NaN}',
    "infinity": b"[-Infinity]",
    "past a double": b"[1e400]",
    "past a double, negative": b"[-1e400]",
    "whole number past 2^53": b"[9007199254740993]",
    "ten thousand digits": b"[" + b"9" * 10_000 + b"]",
    "a name twice": b'{"a": 1, "b": 2, "a": 3}',
    "a name twice, spelled apart": b'{"a": 1, "\\u0061": 2}',
    "a name twice, deep": b'[{"x": {"a": 1, "a": 1}}]',
    "high surrogate alone": b'["\\ud800"]',
    "low surrogate alone, as a name": b'{"\\udc00": 1}',
    "NUL": b'["a\\u0000b"]',
    "raw control character": b'["a\x01"]',
    "not UTF-8": b'["\xff"]',
    "a surrogate in UTF-8": b'["\xed\xa0\x80"]',
    "overlong UTF-8": b'["\xc0\xaf"]',
    "UTF-16": '{"a": 1}'.encode("utf-16"),
    "byte order mark": b'\xef\xbb\xbf{"a": 1}',
    "one level too deep": b"[" * (max_depth + 2) + b"]" * (max_depth + 2),
    "100,000 levels": b"[" * 100_000,
    "100,000 levels, closed": b'{"a":' * 100_000 + b"1" + b"}" * 100_000,
    "two values": b"{} {}",
    "comment": b"{} // no",
    "trailing comma": b"[1,]",
}


@pytest.mark.parametrize("body", REFUSED.values(), ids=REFUSED)
def test_refused(body: bytes) -> None:
    with pytest.raises(NotStrictJson):
        loads(body)


@pytest.mark.parametrize(
    ("body", "place"),
    [
        (b'{"a": "NaN",\n "b": NaN}', "NaN is not a JSON number at line 2, column 7"),
        (b'["\\"1e400", 1e400, 1e400]', "at line 1, column 13"),
        (b'{"x":\n\n 9007199254740993}', "at line 3, column 2"),
        (b"[-Infinity]", "at line 1, column 2"),
    ],
)
def test_a_number_that_cannot_be_taken_has_its_place(body: bytes, place: str) -> None:
    with pytest.raises(NotStrictJson) as refused:
        loads(body)
    assert str(refused.value).endswith(place)


@pytest.mark.parametrize(
    ("body", "value"),
    [
        (b"{}", {}),
        (b'"\\ud83d\\ude00"', "\U0001f600"),
        (b"[1e308, -0.0, 1E2]", [1e308, -0.0, 100.0]),
        (str(exact_whole).encode(), exact_whole),
        (str(-exact_whole).encode(), -exact_whole),
        (b"[" * max_depth + b"]" * max_depth, json.loads("[" * max_depth + "]" * max_depth)),
    ],
)
def test_taken(body: bytes, value: Json) -> None:
    assert loads(body) == value


_text = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=8)
_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-exact_whole, exact_whole)
    | st.floats(allow_nan=False, allow_infinity=False)
    | _text,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_text, inner, max_size=4),
    max_leaves=12,
)


@given(_values)
@settings(derandomize=True, deadline=None)
def test_whatever_is_written_is_read_back(value: Json) -> None:
    assert loads(json.dumps(value).encode()) == value
    assert loads(json.dumps(value, ensure_ascii=False).encode()) == value


@given(st.binary(max_size=40) | st.text(max_size=40).map(lambda t: json.dumps(t).encode()))
@settings(derandomize=True, deadline=None, max_examples=300)
def test_any_bytes_are_read_or_refused(body: bytes) -> None:
    """Agrees with the standard parser wherever both accept; no other error leaves it."""
    try:
        value = loads(body)
    except NotStrictJson:
        return
    assert value == json.loads(body)
