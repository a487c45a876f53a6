"""Tokens to syntax tree: recursive descent over the CEL grammar, with hard limits.

The limits hold before any recursion goes deep, so a hostile text costs no more than
its own length and never overflows the interpreter's stack.
"""

from __future__ import annotations

from typing import Final, NoReturn

from rules.expressions.faultlist import FaultList
from rules.expressions.lexer import WHOLE_MAX, Token, tokens
from rules.expressions.scope import RESERVED_NAMES
from rules.expressions.syntax import (
    LEVELS,
    RUNS,
    Call,
    ListOf,
    Literal,
    Name,
    Node,
    Operation,
    Select,
)

MAX_TEXT: Final = 2_000
MAX_NESTING: Final = 40
MAX_NODES: Final = 400
MAX_LIST: Final = 100

_CANNOT_BE_NAMES: Final = RESERVED_NAMES - {"vehicle", "fitted"}
_MEND_BY_WORD: Final = {
    "null": "What is not known is left out; test for a part with present('…')",
    "if": "Write condition ? value : other value",
    "else": "Write condition ? value : other value",
}


def parse(text: str, where: str) -> Node:
    """The syntax tree of ``text``. Raises ``Faulty``."""
    faults = FaultList(where)
    if len(text) > MAX_TEXT:
        problem = f"the expression has {len(text):,} characters; at most {MAX_TEXT:,} are allowed"
        faults.add_whole(problem, "Split it into several rules")
    elif not text.strip():
        faults.add_whole("the expression is empty", "Write an expression or leave the field out")
    faults.raise_if_any()
    found = tokens(text, faults)
    faults.raise_if_any()
    try:
        return _Parser(found, faults).whole()
    except _StopError:
        faults.raise_if_any()
        raise


class _StopError(Exception):
    """The rest of the text cannot be read; the fault is already recorded."""


class _Parser:
    def __init__(self, found: list[Token], faults: FaultList) -> None:
        self._tokens = found
        self._faults = faults
        self._next = 0
        self._open = 0
        self._nodes = 0
        self._heights: dict[int, int] = {}

    def whole(self) -> Node:
        node = self._expression()
        token = self._peek()
        if token.kind != "end":
            self._unexpected(token, "Join the two parts with an operator, or take one out")
        return node

    def _expression(self) -> Node:
        self._descend()
        node = self._binary(0)
        question = self._peek()
        if self._accept("?"):
            yes = self._binary(0)
            self._expect(":", "Write condition ? value : other value")
            node = self._operation("?:", (node, yes, self._expression()), question)
        self._open -= 1
        return node

    def _binary(self, level: int) -> Node:
        if level == len(LEVELS):
            return self._unary()
        node = self._binary(level + 1)
        while (token := self._peek()).kind == "operator" and token.text in LEVELS[level]:
            node = self._operation(token.text, self._operands(node, level, token), token)
        return node

    def _operands(self, first: Node, level: int, token: Token) -> tuple[Node, ...]:
        operands = [first]
        while self._accept(token.text):
            operands.append(self._binary(level + 1))
            if token.text not in RUNS:
                break
        return tuple(operands)

    def _unary(self) -> Node:
        signs: list[Token] = []
        while self._peek().text in ("!", "-") and self._peek().kind == "operator":
            if signs and self._peek().text != signs[0].text:
                self._unexpected(self._peek(), "Put the inner part in parentheses")
            signs.append(self._take())
        value = _numeric_value(self._peek())
        if signs and signs[-1].text == "-" and value is not None:
            first = self._negative_literal(signs.pop(), value)
        else:
            first = self._primary()
        node = self._postfix(first)
        for sign in reversed(signs):
            node = self._operation(sign.text, (node,), sign)
        return node

    def _negative_literal(self, sign: Token, value: float) -> Node:
        self._take()
        return self._made(Literal(-value, sign.position), ())

    def _postfix(self, node: Node) -> Node:
        while self._accept("."):
            name = self._identifier()
            if self._accept("("):
                arguments = self._items(")")
                made: Node = Call(name.text, arguments, node, name.position)
                node = self._made(made, (node, *arguments))
            else:
                node = self._made(Select(node, name.text, name.position), (node,))
        token = self._peek()
        if token.text == "[" and token.kind == "operator":
            self._unexpected(token, "Nothing can be indexed in this language")
        return node

    def _identifier(self) -> Token:
        token = self._peek()
        if token.kind != "name":
            self._unexpected(token, "Write the name of a property after the dot")
        return self._take()

    def _primary(self) -> Node:
        token = self._take()
        if token.kind == "value":
            return self._literal(token)
        if token.kind == "name":
            return self._name_or_call(token)
        if token.kind == "operator" and token.text == "(":
            node = self._expression()
            self._expect(")", "Close the parenthesis")
            return node
        if token.kind == "operator" and token.text == "[":
            items = self._items("]")
            if len(items) > MAX_LIST:
                self._stop(token, f"the list has {len(items)} items", f"Keep to {MAX_LIST}")
            return self._made(ListOf(items, token.position), items)
        return self._unexpected(token, "Write a value, a name or a parenthesis")

    def _literal(self, token: Token) -> Node:
        value = token.value
        if not isinstance(value, bool) and isinstance(value, int) and value > WHOLE_MAX:
            mend = f"Write at most {WHOLE_MAX}"
            self._stop(token, f"{token.text} does not fit in 64 bits", mend)
        return self._made(Literal(value, token.position), ())

    def _name_or_call(self, token: Token) -> Node:
        if token.text in _CANNOT_BE_NAMES:
            mend = _MEND_BY_WORD.get(token.text, "Use another name")
            self._stop(token, f"{token.text!r} is a reserved word", mend)
        if self._accept("("):
            arguments = self._items(")")
            return self._made(Call(token.text, arguments, None, token.position), arguments)
        return self._made(Name(token.text, token.position), ())

    def _items(self, closing: str) -> tuple[Node, ...]:
        items: list[Node] = []
        if self._accept(closing):
            return ()
        while True:
            items.append(self._expression())
            if self._accept(closing):
                return tuple(items)
            self._expect(",", f"Write , between items or {closing} at the end")

    def _operation(self, operator: str, operands: tuple[Node, ...], token: Token) -> Node:
        return self._made(Operation(operator, operands, token.position), operands)

    def _made(self, node: Node, children: tuple[Node, ...]) -> Node:
        """Count the node; every node of the tree is made here."""
        self._nodes += 1
        height = 1 + max((self._heights[id(child)] for child in children), default=0)
        self._heights[id(node)] = height
        if self._nodes > MAX_NODES:
            problem = f"the expression has more than {MAX_NODES} parts"
            self._stop_at(node.position, problem, "Split it into several rules")
        if height > MAX_NESTING:
            self._too_deep(node.position)
        return node

    def _descend(self) -> None:
        self._open += 1
        if self._open > MAX_NESTING:
            self._too_deep(self._peek().position)

    def _too_deep(self, position: int) -> NoReturn:
        problem = f"the expression is nested more than {MAX_NESTING} deep"
        self._stop_at(position, problem, "Split it into several rules")

    def _peek(self) -> Token:
        return self._tokens[self._next]

    def _take(self) -> Token:
        token = self._tokens[self._next]
        if token.kind != "end":
            self._next += 1
        return token

    def _accept(self, operator: str) -> bool:
        token = self._peek()
        if token.kind == "operator" and token.text == operator:
            self._next += 1
            return True
        return False

    def _expect(self, operator: str, mend: str) -> None:
        if not self._accept(operator):
            self._unexpected(self._peek(), mend)

    def _unexpected(self, token: Token, mend: str) -> NoReturn:
        what = "the text ends too early" if token.kind == "end" else f"unexpected {token.text!r}"
        self._stop(token, what, mend)

    def _stop(self, token: Token, problem: str, mend: str) -> NoReturn:
        self._stop_at(token.position, problem, mend)

    def _stop_at(self, position: int, problem: str, mend: str) -> NoReturn:
        self._faults.add(position, problem, mend)
        raise _StopError


def _numeric_value(token: Token) -> float | None:
    if token.kind != "value" or isinstance(token.value, bool | str):
        return None
    return token.value
