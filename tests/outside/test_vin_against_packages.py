"""Check digits against two independent packages, vininfo and vin.

Compared: check digit and the codes that are no model year. Not compared: makers, years
(vininfo's depend on today's date), or anything that vin decodes from its own database.
"""

from __future__ import annotations

from random import Random

import pytest
from vin import VIN  # type: ignore[import-untyped]
from vininfo import Vin  # type: ignore[import-untyped]

from rules.vin import (
    CHECK_POSITION,
    TRANSLITERATION,
    YEAR_CODES,
    VinReading,
    check_digit,
    check_vin,
)

ALPHABET = "".join(sorted(TRANSLITERATION))
# The first two characters are in no maker table of vininfo, which would switch its check off.
UNASSIGNED = "00"


def random_vin(random: Random) -> str:
    return UNASSIGNED + "".join(random.choices(ALPHABET, k=15))


def with_due_digit(vin: str) -> str:
    return vin[: CHECK_POSITION - 1] + check_digit(vin) + vin[CHECK_POSITION:]


def vin_package_accepts(vin: str) -> bool:
    try:
        VIN(vin, decode=False)
    except ValueError:
        return False
    return True


def ours_accepts(vin: str) -> bool:
    return isinstance(check_vin(vin, last_model_year=2039), VinReading)


def test_vininfo_has_no_maker_for_our_prefix() -> None:
    assert Vin(UNASSIGNED + "1" * 15).assembler.manufacturer == "UnsupportedBrand"


@pytest.mark.parametrize("seed", range(4))
def test_random_numbers_agree(seed: int) -> None:
    random = Random(seed)
    accepted = 0
    for _ in range(500):
        raw = random_vin(random)
        for vin in (raw, with_due_digit(raw)):
            verdict = ours_accepts(vin)
            accepted += verdict
            assert Vin(vin).verify_checksum(check_year=True) == verdict, vin
            assert vin_package_accepts(vin) == verdict, vin
    # Most of the mended numbers and a few raw ones: the comparison saw both verdicts.
    assert 400 < accepted < 600


@pytest.mark.parametrize("seed", range(2))
def test_due_digits_agree(seed: int) -> None:
    random = Random(100 + seed)
    for _ in range(500):
        vin = "".join(random.choices(ALPHABET, k=17))
        assert VIN.calculate_check_digit(vin) == check_digit(vin), vin


def test_year_codes_agree() -> None:
    for code in ALPHABET:
        vin = with_due_digit(f"{UNASSIGNED}1111110{code}1111111")
        assert (code in YEAR_CODES) == ours_accepts(vin)
        assert vin_package_accepts(vin) == ours_accepts(vin)
        assert Vin(vin).verify_checksum(check_year=True) == ours_accepts(vin)
