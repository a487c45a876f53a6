"""What editors and spreadsheets do unasked is accepted and means the same."""

from __future__ import annotations

import pytest

from rules.catalog import PartKey
from rules.faults import Fault, Faulty
from rules.folder import read_catalog, write_catalog
from rules.folder.plain_text import LARGEST_FILE_CHARACTERS
from rules.folder.tables import MOST_ROWS
from tests.folder.small_folder import SMALL_FOLDER

SMALL = read_catalog(SMALL_FOLDER)


def with_change(file: str, old: str, new: str) -> dict[str, str]:
    assert old in SMALL_FOLDER[file]
    return {**SMALL_FOLDER, file: SMALL_FOLDER[file].replace(old, new)}


def test_byte_order_mark_and_carriage_returns() -> None:
    files = {path: "\ufeff" + text.replace("\n", "\r\n") for path, text in SMALL_FOLDER.items()}
    assert read_catalog(files) == SMALL


def test_blanks_around_cells_and_empty_last_rows() -> None:
    files = dict(SMALL_FOLDER)
    files["tools.csv"] = files["tools.csv"].replace(",", " , ") + ",,,,,,,,\n\n"
    assert read_catalog(files) == SMALL


def test_columns_in_another_order_and_optional_ones_left_out() -> None:
    files = with_change(
        "kits.csv",
        "brand,number,title,price,stock,lead_days,supplier,note\nHalden,HK-1,Cam kit,244.00,,4,,",
        "price,title,lead_days,number,brand\n244.00,Cam kit,4,HK-1,Halden",
    )
    assert read_catalog(files) == SMALL


def test_a_missing_end_of_the_last_line() -> None:
    assert read_catalog({p: text.rstrip("\n") for p, text in SMALL_FOLDER.items()}) == SMALL


def test_numbers_in_other_spellings() -> None:
    files = with_change("parts/camshaft.csv", "12.25", "1.225e1")
    files["parts/camshaft.csv"] = files["parts/camshaft.csv"].replace("240.00", "240")
    files["fitment.csv"] = files["fitment.csv"].replace("1650.5", "1650.50")
    assert read_catalog(files) == SMALL


def test_two_spellings_of_an_accent_are_one() -> None:
    composed = with_change("parts/oil.csv", "Engine oil 1 l", "Huil\u00e9 1 l")
    apart = with_change("parts/oil.csv", "Engine oil 1 l", "Huile\u0301 1 l")
    assert read_catalog(composed) == read_catalog(apart)


def test_cells_that_look_like_formulas_are_texts() -> None:
    formula = "=HYPERLINK(A1;2)+1"
    files = with_change("parts/oil.csv", "Engine oil 1 l", formula)
    catalog = read_catalog(files)
    assert catalog.parts[-1].title == formula
    assert write_catalog(catalog)["parts/oil.csv"] == files["parts/oil.csv"]


def test_yaml_words_that_other_readers_take_for_something_else() -> None:
    """YAML 1.2 core schema (section 10.3.2): only true and false are booleans."""
    files = with_change("work/engine.yaml", "title: Drain and fill", "title: no")
    files["work/engine.yaml"] = files["work/engine.yaml"].replace("wish: More lift", "wish: 12:30")
    catalog = read_catalog(files)
    assert (catalog.steps[0].title, catalog.jobs[0].wish) == ("no", "12:30")
    assert read_catalog(write_catalog(catalog)) == catalog


def test_null_is_the_same_as_leaving_a_field_out() -> None:
    files = with_change("catalog.yaml", "    label: Sidecar", "    label: Sidecar\n    unit: null")
    assert read_catalog(files) == SMALL


def test_folded_texts() -> None:
    files = with_change(
        "rules/valve_train.yaml",
        "sentence: The lift must clear the chest.",
        "sentence: >-\n      The lift must\n      clear the chest.",
    )
    assert read_catalog(files) == SMALL


def test_leading_zeros_of_a_part_number_stay() -> None:
    files = with_change("parts/oil.csv", "L-20", "0020")
    files["fitment.csv"] = files["fitment.csv"].replace("L-20", "0020")
    assert read_catalog(files).parts[-1].key == PartKey("Lumen", "0020")


@pytest.mark.parametrize("character", ["\x00", "\x0b", "\x85", "\u2028", "\ud800", "\uffff"])
def test_characters_that_no_text_may_hold(character: str) -> None:
    files = with_change("parts/oil.csv", "Engine oil", f"Engine{character}oil")
    with pytest.raises(Faulty) as refused:
        read_catalog(files)
    [fault] = refused.value.faults
    assert fault.where == "parts/oil.csv:2"
    assert f"U+{ord(character):04X}" in fault.problem


def test_a_lone_carriage_return_is_no_line_end() -> None:
    files = with_change("parts/oil.csv", "Engine oil 1 l", "Engine\roil")
    with pytest.raises(Faulty, match=r"U\+000D"):
        read_catalog(files)


def test_a_file_too_large_to_be_a_catalog_file() -> None:
    files = {**SMALL_FOLDER, "tools.csv": "x" * (LARGEST_FILE_CHARACTERS + 1)}
    with pytest.raises(Faulty) as refused:
        read_catalog(files)
    assert refused.value.faults == (
        Fault(
            "tools.csv",
            f"the file has {LARGEST_FILE_CHARACTERS + 1} characters, "
            f"more than {LARGEST_FILE_CHARACTERS}",
            "Split it, or take out what does not belong there.",
        ),
    )


def test_a_table_with_too_many_rows() -> None:
    files = {**SMALL_FOLDER, "tools.csv": SMALL_FOLDER["tools.csv"] + "\n" * MOST_ROWS}
    with pytest.raises(Faulty, match="more than 200000 rows"):
        read_catalog(files)
