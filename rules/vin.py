"""Vehicle identification numbers: what a number says by itself, and nothing more.

Sources: 49 CFR part 565 (565.13 characters, 565.15 contents, transliteration, weights,
check digit and model year codes). For motorcycles the code in position 10 stays ambiguous
over 30 years: the rule that reads the decade off position 7 holds only for passenger cars and
light trucks (565.15(b), (d)(1)) and is not applied.

Only North America (and China) requires the check digit; elsewhere position 9 may hold any
character. That ISO 3779 requires neither it nor a year code is from memory. So for a number
under that standard nothing is concluded from positions 9 and 10.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from rules.faults import Fault

Standard = Literal["49 CFR 565", "ISO 3779"]

LENGTH: Final = 17
CHECK_POSITION: Final = 9
YEAR_POSITION: Final = 10
YEAR_CODES: Final = "ABCDEFGHJKLMNPRSTVWXY123456789"
"""Model year codes from 1980 on; they come round every 30 years. I O Q U Z 0 are none."""

FIRST_MODEL_YEAR: Final = 1980

TRANSLITERATION: Final[Mapping[str, int]] = MappingProxyType(
    {digit: int(digit) for digit in "0123456789"}
    | dict(zip("ABCDEFGH", range(1, 9), strict=True))
    | dict(zip("JKLMN", range(1, 6), strict=True))
    | {"P": 7, "R": 9}
    | dict(zip("STUVWXYZ", range(2, 10), strict=True))
)
"""Value of each character, 49 CFR 565.15(c)(1) table III. I, O and Q have none."""

WEIGHTS: Final = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
"""Weight of each position, 49 CFR 565.15(c)(2) table IV; the check digit itself weighs 0."""

_LOOKS_LIKE: Final[Mapping[str, str]] = MappingProxyType({"I": "1", "O": "0", "Q": "0"})
_UPPER: Final = str.maketrans("abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
_HYPHENS: Final = "-\u2010\u2011\u2012\u2013\u2014\u2212"


@dataclass(frozen=True, slots=True, kw_only=True)
class VinReading:
    """What a well-formed number says.

    ``vin``: 17 characters, upper case. ``manufacturer``: positions 1-3, and 12-14 behind them
    when position 3 is 9 (a maker of few vehicles). ``descriptor``: positions 4-8. ``plant``:
    position 11. ``serial``: positions 12-17. ``check_digit_due`` is the digit that the other
    sixteen characters call for; under ISO 3779 it need not be the one ``check_digit`` found.
    ``model_years``: every year up to the given last one that the code can mean, never narrowed
    to one; None when the standard gives position 10 no such meaning.
    """

    vin: str
    standard: Standard
    manufacturer: str
    descriptor: str
    plant: str
    serial: str
    check_digit: str
    check_digit_due: str
    model_years: frozenset[int] | None

    @property
    def check_digit_agrees(self) -> bool:
        """Whether the digit found is the one due; it says nothing under ISO 3779 if not."""
        return self.check_digit == self.check_digit_due


def normalised(text: str) -> str:
    """The number as it is compared: no white space, no hyphens, ASCII letters upper case.

    Numbers are written down in groups and in lower case; both are accepted. Positions in
    faults count in this form. Other characters stay, to be refused by their position.
    """
    kept = (c for c in text if not c.isspace() and c not in _HYPHENS)
    return "".join(kept).translate(_UPPER)


def check_vin(
    text: str,
    *,
    last_model_year: int,
    standard: Standard = "49 CFR 565",
    where: str = "/vin",
) -> VinReading | tuple[Fault, ...]:
    """Read a vehicle identification number, or say everything that is wrong with it.

    ``last_model_year`` is the latest year a machine can have (the caller's clock decides).
    ``standard``: "49 CFR 565" requires the check digit and a year code (North America);
    "ISO 3779" requires neither. ``where`` is put into the faults.
    """
    vin = normalised(text)
    faults = (*_length_faults(vin, where), *_character_faults(vin, where))
    if not faults and standard == "49 CFR 565":
        faults = (*_check_digit_faults(vin, where), *_year_faults(vin, last_model_year, where))
    return faults or _reading(vin, last_model_year, standard)


def check_digit(vin: str) -> str:
    """The check digit that 17 normalised legal characters call for: ``0``-``9`` or ``X``.

    49 CFR 565.15(c): sum of value times weight, modulo 11, 10 written X. What stands in
    position 9 does not count. Raises KeyError for an illegal character.
    """
    total = sum(TRANSLITERATION[char] * weight for char, weight in zip(vin, WEIGHTS, strict=True))
    return "0123456789X"[total % 11]


def model_years(code: str, last_model_year: int) -> frozenset[int]:
    """Every model year up to ``last_model_year`` that the code means; empty for no code."""
    at = YEAR_CODES.find(code) if len(code) == 1 else -1
    if at < 0:
        return frozenset()
    return frozenset(range(FIRST_MODEL_YEAR + at, last_model_year + 1, len(YEAR_CODES)))


def manufacturer_identifier(vin: str) -> str:
    """Positions 1-3, or 1-3 and 12-14 when position 3 is 9 (49 CFR 565.15(a))."""
    return vin[:3] + vin[11:14] if vin[2] == "9" else vin[:3]


def _reading(vin: str, last_model_year: int, standard: Standard) -> VinReading:
    return VinReading(
        vin=vin,
        standard=standard,
        manufacturer=manufacturer_identifier(vin),
        descriptor=vin[3:8],
        plant=vin[10],
        serial=vin[11:],
        check_digit=vin[CHECK_POSITION - 1],
        check_digit_due=check_digit(vin),
        model_years=(
            model_years(vin[YEAR_POSITION - 1], last_model_year)
            if standard == "49 CFR 565"
            else None
        ),
    )


def _length_faults(vin: str, where: str) -> tuple[Fault, ...]:
    if len(vin) == LENGTH:
        return ()
    gap = LENGTH - len(vin)
    mend = f"Add the {gap} missing" if gap > 0 else f"Take out the {-gap} that are too many"
    return (
        Fault(
            where,
            f"A vehicle identification number has {LENGTH} characters, this has {len(vin)}",
            f"{mend}; machines from before model year 1981 have no such number",
        ),
    )


def _character_faults(vin: str, where: str) -> tuple[Fault, ...]:
    return tuple(
        Fault(where, f"{char!r} in position {at} is not used in these numbers", _mend(char))
        for at, char in enumerate(vin, start=1)
        if char not in TRANSLITERATION
    )


def _mend(char: str) -> str:
    if char in _LOOKS_LIKE:
        return f"Look again: I, O and Q are never used; it may be {_LOOKS_LIKE[char]}"
    return "Use the digits 0 to 9 and the letters A to Z without I, O and Q"


def _check_digit_faults(vin: str, where: str) -> tuple[Fault, ...]:
    due, found = check_digit(vin), vin[CHECK_POSITION - 1]
    if found == due:
        return ()
    return (
        Fault(
            where,
            f"Check digit: position {CHECK_POSITION} has {found}, the other characters "
            f"call for {due}",
            "Compare every character with the frame; at least one is wrong, "
            "unless the machine was made for a market without check digits",
        ),
    )


def _year_faults(vin: str, last_model_year: int, where: str) -> tuple[Fault, ...]:
    code = vin[YEAR_POSITION - 1]
    if model_years(code, last_model_year):
        return ()
    problem = (
        f"{code} in position {YEAR_POSITION} means no model year up to {last_model_year}"
        if code in YEAR_CODES
        else f"{code} in position {YEAR_POSITION} is no model year code"
    )
    return (Fault(where, problem, f"Use one of {YEAR_CODES}"),)
