"""Expression texts of any catalog as terms, by way of Python's own parser.

The demo catalog comes with texts only. They are rewritten as Python (``&&`` to ``and``,
``a ? b : c`` to ``b if a else c``), parsed by ``ast`` and read node by node; nothing is
evaluated by Python itself and nothing of the engine's expression code is used. Only what the
demo catalog says is covered: anything else raises.
"""

from __future__ import annotations

import ast
import operator
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from rules.engine.functions import FUNCTIONS
from rules.values import Failure, Value

from . import terms
from .terms import FAILS, Reader, Result, Term, World

_STRING: Final = re.compile(r"'[^']*'")
_ASKS: Final = {
    "renewed": terms.renewed,
    "present": terms.present,
    "doing": terms.doing,
    "run_km": terms.run_km,
}
_SUMS: Final[dict[type[ast.operator], Callable[[float, float], float]]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
}
_COMPARES: Final[dict[type[ast.cmpop], Callable[[Term, Term], Term]]] = {
    ast.LtE: terms.at_most,
    ast.GtE: terms.at_least,
    ast.Gt: terms.above,
    ast.Lt: lambda left, right: terms.above(right, left),
    ast.Eq: terms.same,
}


class Spoken(dict[str, Term]):
    """A term for every text that is asked for."""

    def __missing__(self, text: str) -> Term:
        tree = ast.parse(_python(text), mode="eval")
        self[text] = term = replace(_term(tree.body), text=text)
        return term


def _python(text: str) -> str:
    """The same expression in Python's words. Strings hold no operators in the catalog."""
    assert not any(set("?:&|!()") & set(found) for found in _STRING.findall(text))
    plain = text.replace("&&", " and ").replace("||", " or ")
    plain = re.sub(r"!(?!=)", " not ", plain)
    plain = re.sub(r"\btrue\b", "True", re.sub(r"\bfalse\b", "False", plain))
    return _with_choices(plain).strip()


def _with_choices(text: str) -> str:
    """``a ? b : c`` to ``(b) if (a) else (c)``, inside brackets first."""
    text = _inside_brackets(text)
    ask = _at_depth_0(text, "?")
    if ask is None:
        return text
    colon = _matching_colon(text, ask)
    condition, yes, no = text[:ask], text[ask + 1 : colon], text[colon + 1 :]
    return f"({_with_choices(yes)}) if ({condition}) else ({_with_choices(no)})"


def _inside_brackets(text: str) -> str:
    parts, start = [], 0
    while (opening := text.find("(", start)) >= 0:
        closing = _closing(text, opening)
        parts += [text[start : opening + 1], _with_choices(text[opening + 1 : closing]), ")"]
        start = closing + 1
    return "".join(parts) + text[start:]


def _closing(text: str, opening: int) -> int:
    depth = 0
    for place in range(opening, len(text)):
        depth += {"(": 1, ")": -1}.get(text[place], 0)
        if depth == 0:
            return place
    raise ValueError(text)


def _at_depth_0(text: str, sign: str) -> int | None:
    depth = 0
    for place, letter in enumerate(text):
        depth += {"(": 1, ")": -1}.get(letter, 0)
        if letter == sign and depth == 0:
            return place
    return None


def _matching_colon(text: str, ask: int) -> int:
    depth, open_asks = 0, 0
    for place in range(ask, len(text)):
        depth += {"(": 1, ")": -1}.get(text[place], 0)
        if depth == 0:
            open_asks += {"?": 1, ":": -1}.get(text[place], 0)
            if open_asks == 0:
                return place
    raise ValueError(text)


def _term(node: ast.expr) -> Term:  # noqa: PLR0911
    match node:
        case ast.Constant(value=bool() | int() | float() | str() as value):
            return terms.literal(value)
        case ast.Attribute(value=ast.Name(id="vehicle"), attr=name):
            return terms.fact(name)
        case ast.Attribute(value=ast.Attribute(value=ast.Name(id="fitted"), attr=place), attr=name):
            return terms.of_fitted(place, name)
        case ast.Attribute(value=ast.Name(id=place), attr=name):
            return terms.of_target(place, name)
        case ast.BoolOp(op=op, values=[first, *rest]):
            join = terms.both if isinstance(op, ast.And) else terms.either
            found = _term(first)
            for one in rest:
                found = join(found, _term(one))
            return found
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            return terms.negate(_term(operand))
        case ast.Compare(left=left, ops=[op], comparators=[right]):
            return _compared(_term(left), op, right)
        case _:
            return _other(node)


def _compared(left: Term, op: ast.cmpop, right: ast.expr) -> Term:
    if isinstance(op, ast.NotEq):
        return terms.negate(terms.same(left, _term(right)))
    if isinstance(op, ast.In):
        assert isinstance(right, ast.List)
        found = terms.literal(value=False)
        for one in right.elts:
            found = terms.either(found, terms.same(left, _term(one)))
        return found
    return _COMPARES[type(op)](left, _term(right))


def _other(node: ast.expr) -> Term:
    match node:
        case ast.BinOp(left=left, op=op, right=right):
            return _applied(_SUMS[type(op)], [_term(left), _term(right)])
        case ast.IfExp(test=test, body=body, orelse=orelse):
            return _chosen(_term(test), _term(body), _term(orelse))
        case ast.Call(func=ast.Name(id=name), args=[ast.Constant(value=str(ref))]) if name in _ASKS:
            return _ASKS[name](ref)
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return _applied(_function(name), [_term(one) for one in arguments])
        case _:
            raise NotImplementedError(ast.dump(node))


def _function(name: str) -> Callable[..., Result]:
    plain: dict[str, Callable[..., Result]] = {"abs": abs, "double": float}
    if name in plain:
        return plain[name]
    engine = FUNCTIONS[name]

    def call(*arguments: Value) -> Result:
        value = engine.call(*arguments)
        return FAILS if isinstance(value, Failure) else value

    return call


def _applied(function: Callable[..., Result], arguments: list[Term]) -> Term:
    def read(world: World) -> Result:
        values = [one.read(world) for one in arguments]
        return FAILS if any(value is FAILS for value in values) else function(*values)

    return _joint(read, arguments)


def _chosen(test: Term, yes: Term, no: Term) -> Term:
    def read(world: World) -> Result:
        asked = test.read(world)
        if asked is FAILS:
            return FAILS
        return (yes if asked is True else no).read(world)

    return _joint(read, [test, yes, no])


def _joint(read: Reader, parts: list[Term]) -> Term:
    return Term(
        "",
        read,
        frozenset().union(*(one.places for one in parts)),
        frozenset().union(*(one.steps for one in parts)),
    )
