"""Pasted lists: every documented form is read, nothing is guessed, nothing breaks the reader."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.bundle.paste import count_lines, read_paste
from rules.bundle.request import MOST_PACKS

BRANDS = ("Pellworth", "Second Tide")
NUMBERS = ("PW-D50", "ST 12 B", "T312-03", "4711", "OS-330", "A,7")


def read(line: str) -> tuple[str, str, int, str]:
    (found,) = read_paste(line, BRANDS, NUMBERS)
    return found.brand, found.number, found.quantity, found.trouble


@pytest.mark.parametrize(
    ("line", "brand", "number", "quantity"),
    [
        ("PW-D50", "", "PW-D50", 1),
        ("pw-d50 x2", "", "pw-d50", 2),
        ("PW-D50 X 2", "", "PW-D50", 2),
        ("PW-D50 ×12", "", "PW-D50", 12),
        ("PW-D50x2", "", "PW-D50", 2),
        ("2 x PW-D50", "", "PW-D50", 2),
        ("2x PW-D50", "", "PW-D50", 2),
        ("x2 PW-D50", "", "PW-D50", 2),
        ("PW-D50 2 x", "", "PW-D50", 2),
        ("PW-D50 2 pcs", "", "PW-D50", 2),
        ("PW-D50 (2)", "", "PW-D50", 2),
        ("PW-D50 qty: 2", "", "PW-D50", 2),
        ("PW-D50 2", "", "PW-D50", 2),
        ("PW-D50\t2", "", "PW-D50", 2),
        ("PW-D50,2", "", "PW-D50", 2),
        ("PW-D50; 2; Pellworth", "Pellworth", "PW-D50", 2),
        ("2,PW-D50", "", "PW-D50", 2),
        ("Pellworth PW-D50 x2", "Pellworth", "PW-D50", 2),
        ("2 x pellworth PW-D50", "Pellworth", "PW-D50", 2),
        ("PW-D50 Pellworth", "Pellworth", "PW-D50", 1),
        ("Second Tide: ST 12 B, 3", "Second Tide", "ST 12 B", 3),
        ("ST 12 B", "", "ST 12 B", 1),
        ("ST 12 B 2", "", "ST 12 B", 2),
        ("4711", "", "4711", 1),
        ("4711 x 2", "", "4711", 2),
        ("A,7", "", "A,7", 1),
        ("- PW-D50", "", "PW-D50", 1),
        ("* PW-D50 x2", "", "PW-D50", 2),
        ("12. PW-D50", "", "PW-D50", 1),
        ("Camshaft PW-D50 road grind", "", "PW-D50", 1),
        ("Camshaft, road grind; PW-D50; 1", "", "PW-D50", 1),
        ("valve seals XY-99", "", "XY-99", 1),
        ("  PW-D50  ", "", "PW-D50", 1),
    ],
)
def test_a_documented_form_is_read(line: str, brand: str, number: str, quantity: int) -> None:
    assert read(line) == (brand, number, quantity, "")


@pytest.mark.parametrize(
    ("line", "trouble"),
    [
        ("PW-D50 x 2,5", "2,5 is not a whole number"),
        ("1.5 x PW-D50", "1.5 is not a whole number"),
        ("PW-D50;2.5", "2.5 is not a whole number"),
        ("PW-D50 x0", "0 is not a quantity to buy"),
        ("PW-D50 -3", "-3 is not a quantity to buy"),
        ("PW-D50\t-3", "-3 is not a quantity to buy"),
        ("PW-D50 x99999", f"99999 is more than {MOST_PACKS}, the most that one line may hold"),
        ("PW-D50, 2, 289", "both 2 and 289 could be the quantity"),
        ("2 x PW-D50, 3", "both 3 and 2 could be the quantity"),
        ("PW\x07-D50", "it holds a control character"),
        ("PW-D50\u202e", "it holds a control character"),
        ("12,;", "it holds no part number"),
        ("Q" * 101, "the number is longer than 100 characters"),
    ],
)
def test_what_cannot_be_read_says_why(line: str, trouble: str) -> None:
    assert read(line)[3] == trouble


def test_lines_keep_their_place_and_blank_ones_are_passed_over() -> None:
    found = read_paste("PW-D50\r\n\r\n  \nOS-330 x2\rT312-03", BRANDS, NUMBERS)
    assert [(line.at, line.number) for line in found] == [
        (1, "PW-D50"),
        (4, "OS-330"),
        (5, "T312-03"),
    ]


@given(st.text(max_size=300))
def test_any_text_is_read_line_by_line(text: str) -> None:
    found = read_paste(text, BRANDS, NUMBERS)
    assert len(found) == count_lines(text)
    for line in found:
        assert 1 <= line.quantity <= MOST_PACKS
        assert line.trouble or line.number
        assert "\n" not in line.written and len(line.written) <= 120


@given(
    st.sampled_from(NUMBERS),
    st.integers(1, 99),
    st.sampled_from(["{n} x{q}", "{q} x {n}", "{n}\t{q}", "{n};{q}", "{n} ({q})", "{n} {q} pcs"]),
)
def test_known_numbers_come_back_whole(number: str, quantity: int, form: str) -> None:
    if "," in number and ";" in form:
        return  # a comma ends a cell; such a number stands alone on its line
    if number == "A,7":
        return
    (found,) = read_paste(form.format(n=number, q=quantity), BRANDS, NUMBERS)
    assert (found.number, found.quantity, found.trouble) == (number, quantity, "")
