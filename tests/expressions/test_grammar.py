"""Grammar, precedence, literals and the printer."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.expressions.parser import parse
from rules.expressions.syntax import (
    LEVELS,
    Call,
    ListOf,
    Literal,
    Name,
    Node,
    Operation,
    Select,
    show,
)
from rules.values import Value
from tests.expressions.bike import value


def tree(text: str) -> Node:
    return parse(text, "here")


@pytest.mark.parametrize(
    ("text", "same_as"),
    [
        ("1 + 2 * 3", "1 + (2 * 3)"),
        ("1 - 2 - 3", "(1 - 2) - 3"),
        ("8 / 4 / 2", "(8 / 4) / 2"),
        ("8 % 4 * 2", "(8 % 4) * 2"),
        ("-a.b * 2", "(-a.b) * 2"),
        ("!a.b && c.d", "(!a.b) && c.d"),
        ("a.b || c.d && e.f", "a.b || (c.d && e.f)"),
        ("a.b == 1 && c.d < 2", "(a.b == 1) && (c.d < 2)"),
        ("1 + 1 == 2", "(1 + 1) == 2"),
        ("a.b == 1 == true", "(a.b == 1) == true"),
        ("1 + a.b in [1, 2]", "(1 + a.b) in [1, 2]"),
        ("a.b ? 1 : c.d ? 2 : 3", "a.b ? 1 : (c.d ? 2 : 3)"),
        ("a.b || c.d ? 1 : 2", "(a.b || c.d) ? 1 : 2"),
        ("- 5", "-5"),
        ("a.b - -5", "a.b - (-5)"),
        ("a.b -5", "a.b - 5"),
        ("1 // the rest is said for people\n + 2", "1 + 2"),
        ("\t1\r\n+\f2 ", "1 + 2"),
    ],
)
def test_precedence_and_layout(text: str, same_as: str) -> None:
    """CEL language definition, Syntax: precedence and associativity table."""
    assert tree(text) == tree(same_as)


def test_a_run_of_and_is_one_node() -> None:
    assert tree("a.b && c.d && e.f") == Operation(
        "&&", tuple(Select(Name(a), b) for a, b in ("ab", "cd", "ef"))
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("0x1F", 31),
        ("007", 7),
        ("-9223372036854775808", -(2**63)),
        ("9223372036854775807", 2**63 - 1),
        (".5", 0.5),
        ("1e3", 1000.0),
        ("1.5e-2", 0.015),
        ("1E+2", 100.0),
        ("-0.5", -0.5),
        ("true", True),
        (r"'it\'s'", "it's"),
        ('"it\'s"', "it's"),
        ("''", ""),
        (r"'\\ \? \" \` \a\b\f\n\r\t\v'", '\\ ? " ` \a\b\f\n\r\t\v'),
        (r"'\x41\X41\u00e9\U0001F3CD\101'", "AAé🏍A"),
        ("'// no comment'", "// no comment"),
    ],
)
def test_literals(text: str, expected: Value) -> None:
    """CEL language definition, Syntax (LITERAL, ESCAPE)."""
    outcome = value(text)
    assert outcome == expected
    assert type(outcome) is type(expected)


# -- every tree is printed so that it parses back to itself ---------------------------------

_names = st.sampled_from(["vehicle", "camshaft", "bore_mm", "_x1", "renewed"])
_floats = st.floats(allow_nan=False, allow_infinity=False)
_texts = st.text(st.characters(codec="utf-8"), max_size=8)
_literals = st.builds(Literal, st.booleans() | st.integers(-(2**63), 2**63 - 1) | _floats | _texts)
_binary = st.sampled_from(sorted(operator for level in LEVELS[2:] for operator in level))


def _larger(children: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    several = st.lists(children, min_size=2, max_size=4).map(tuple)
    some = st.lists(children, max_size=3).map(tuple)
    return st.one_of(
        st.builds(Select, children, _names),
        st.builds(Call, _names, some, st.none() | children),
        st.builds(ListOf, some),
        st.builds(Operation, st.sampled_from(["&&", "||"]), several),
        st.builds(Operation, _binary, st.tuples(children, children)),
        st.builds(Operation, st.just("?:"), st.tuples(children, children, children)),
        st.builds(Operation, st.sampled_from(["!", "-"]), st.tuples(children)),
    )


trees: st.SearchStrategy[Node] = st.recursive(
    _literals | st.builds(Name, _names), _larger, max_leaves=12
)


@given(trees)
@settings(derandomize=True, deadline=None, max_examples=600)
def test_what_is_printed_parses_back(node: Node) -> None:
    assert tree(show(node)) == node


@given(trees)
@settings(derandomize=True, deadline=None, max_examples=300)
def test_every_parenthesis_printed_is_needed(node: Node) -> None:
    """Taking out any one pair (outside texts and calls) gives another tree or no tree.

    Numbers before a dot keep theirs for the reader's sake.
    """
    text = show(node)
    if "'" in text:
        return
    for opening, closing in _groups(text):
        if text[closing + 1 :].startswith(".") and text[opening + 1] in "-0123456789":
            continue
        without = text[:opening] + text[opening + 1 : closing] + text[closing + 1 :]
        assert _tree_or_none(without) != node, (text, without)


def _groups(text: str) -> list[tuple[int, int]]:
    """Pairs of parentheses that group (do not hold arguments)."""
    stack: list[int] = []
    found = []
    for position, character in enumerate(text):
        if character == "(":
            stack.append(position)
        elif character == ")":
            opening = stack.pop()
            if opening == 0 or not (text[opening - 1].isalnum() or text[opening - 1] == "_"):
                found.append((opening, position))
    return found


def _tree_or_none(text: str) -> Node | None:
    try:
        return tree(text)
    except ValueError:
        return None
