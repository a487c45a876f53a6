"""Text to tokens (CEL language definition, section Syntax)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from rules.expressions.faultlist import FaultList
from rules.values import Value

TokenKind = Literal["value", "name", "operator", "end"]

WHOLE_MIN: Final = -(2**63)
WHOLE_MAX: Final = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Token:
    """``text`` as written. ``value`` for literals; a whole number may be 2**63 here, since
    a minus sign may follow from the token before."""

    kind: TokenKind
    text: str
    position: int
    value: Value = False


_TOKEN: Final = re.compile(
    r"""
      (?P<space>    [ \t\r\n\f]+ | //[^\r\n]* )
    | (?P<refused>  \d+\.(?!\d) | [rRbB]{1,2}(?=['"]) | '{3} | "{3} )
    | (?P<number>   \d*\.\d+(?:[eE][+-]?\d+)? | \d+[eE][+-]?\d+ )
    | (?P<whole>    0x[0-9a-fA-F]+ | \d+ )
    | (?P<name>     [A-Za-z_][A-Za-z0-9_]* )
    | (?P<text>     '(?:[^'\\\r\n]|\\.)*' | "(?:[^"\\\r\n]|\\.)*" )
    | (?P<operator> && | \|\| | [<>=!]= | [-+*/%<>!?:.,()\[\]] )
    """,
    re.VERBOSE | re.ASCII,
)
_ESCAPE: Final = re.compile(
    r"""\\(?: (?P<plain>[abfnrtv\\?"'`]) | [xX](?P<x>[0-9a-fA-F]{2}) | u(?P<u>[0-9a-fA-F]{4})
        | U(?P<U>[0-9a-fA-F]{8}) | (?P<octal>[0-3][0-7]{2}) | (?P<wrong>.?) )""",
    re.VERBOSE | re.DOTALL,
)
_PLAIN: Final = {"a": "\a", "b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t", "v": "\v"}
_MEND_BY_CHARACTER: Final = {
    "=": "Write == to compare",
    "&": "Write && for and",
    "|": "Write || for or",
    "'": "Close the text with ' on the same line",
    '"': 'Close the text with " on the same line',
    "{": "Maps and messages are not part of this language",
    ";": "Write one expression without ;",
}
_WORD_CHARACTERS: Final = re.compile(r"[A-Za-z0-9_]+")


def tokens(text: str, faults: FaultList) -> list[Token]:
    """All tokens of ``text`` with an end token last. What is wrong goes to ``faults``."""
    found: list[Token] = []
    position = 0
    while position < len(text):
        match = _TOKEN.match(text, position)
        if match is None:
            _refuse_character(text[position], position, faults)
            position += 1
            continue
        if match.lastgroup == "refused":
            _refuse_form(match, faults)
        elif match.lastgroup != "space":
            found.append(_token(match, faults))
        position = match.end()
        if match.lastgroup in ("number", "whole"):
            position = _refuse_letters_after(text, match, faults)
    found.append(Token("end", "", len(text)))
    return found


def _token(match: re.Match[str], faults: FaultList) -> Token:
    text, position = match.group(), match.start()
    if match.lastgroup == "text":
        return Token("value", text, position, _unescape(text[1:-1], position + 1, faults))
    if match.lastgroup == "number":
        return Token("value", text, position, _number(text, position, faults))
    if match.lastgroup == "whole":
        return Token("value", text, position, _whole(text, position, faults))
    if text in ("true", "false"):
        return Token("value", text, position, text == "true")
    is_operator = match.lastgroup == "operator" or text == "in"
    return Token("operator" if is_operator else "name", text, position)


def _number(text: str, position: int, faults: FaultList) -> float:
    value = float(text)
    if value == float("inf"):
        faults.add(position, f"{text} is too large for a number", "Write a smaller number")
        return 0.0
    return value


def _whole(text: str, position: int, faults: FaultList) -> int:
    value = int(text, 16) if text.startswith("0x") else int(text)
    if value > WHOLE_MAX + 1:
        faults.add(position, f"{text} does not fit in 64 bits", f"Write at most {WHOLE_MAX}")
        return 0
    return value


def _refuse_letters_after(text: str, match: re.Match[str], faults: FaultList) -> int:
    after = _WORD_CHARACTERS.match(text, match.end())
    if after is None:
        return match.end()
    together = match.group() + after.group()
    mend = f"Write {match.group()} alone; units belong to the declared names"
    faults.add(match.start(), f"{together!r} is not a number", mend)
    return after.end()


def _refuse_form(match: re.Match[str], faults: FaultList) -> None:
    text, position = match.group(), match.start()
    if text.endswith("."):
        faults.add(position, f"{text!r} is not a number", f"Write {text}0")
    elif len(text) == 3:
        faults.add(position, "texts in three quotes are not part of this language", "Use one")
    else:
        faults.add(position, f"no letter may stand before a text, as {text!r} does", "Take it out")


def _refuse_character(character: str, position: int, faults: FaultList) -> None:
    mend = _MEND_BY_CHARACTER.get(character, "Take it out")
    if character in "'\"":
        faults.add(position, "this text is not closed", mend)
    else:
        faults.add(position, f"{character!r} has no meaning here", mend)


def _unescape(body: str, position: int, faults: FaultList) -> str:
    def decoded(match: re.Match[str]) -> str:
        character = _escaped_character(match)
        if character is None:
            mend = r"Write one of \\ \' \" \n \t \r \uXXXX"
            faults.add(position + match.start(), f"{match.group()!r} is not an escape", mend)
            return ""
        return character

    return _ESCAPE.sub(decoded, body) if "\\" in body else body


def _escaped_character(match: re.Match[str]) -> str | None:
    if (plain := match["plain"]) is not None:
        return _PLAIN.get(plain, plain)
    if match["wrong"] is not None:
        return None
    digits = match["x"] or match["u"] or match["U"]
    code = int(match["octal"], 8) if digits is None else int(digits, 16)
    is_character = code <= 0x10FFFF and not 0xD800 <= code <= 0xDFFF
    return chr(code) if is_character else None
