"""Every way a folder can be wrong: one break each, and exactly what is then reported.

The breaks are in ``broken/*.yaml``: in the small folder the text ``old`` of a file becomes
``new``. The faults are compared whole, with their place, problem and mend, and no other
fault may come along that the break does not cause.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from rules.faults import Fault, Faulty
from rules.folder import read_catalog
from tests.folder.small_folder import SMALL_FOLDER

BROKEN = Path(__file__).parent / "broken"


def breaks() -> Iterator[Any]:
    for file in sorted(BROKEN.glob("*.yaml")):
        for one in yaml.safe_load(file.read_text(encoding="utf-8")):
            yield pytest.param(one, id=f"{file.stem}: {one['breaks']}")


def faults_of(files: dict[str, str]) -> list[Fault]:
    with pytest.raises(Faulty) as refused:
        read_catalog(files)
    return list(refused.value.faults)


def test_the_small_folder_has_no_faults() -> None:
    assert read_catalog(SMALL_FOLDER).name == "Small catalog"


@pytest.mark.parametrize("broken", list(breaks()))
def test_a_break_is_reported_with_its_place_and_mend(broken: dict[str, Any]) -> None:
    text = SMALL_FOLDER[broken["file"]]
    assert text.count(broken["old"]) >= 1
    files = {**SMALL_FOLDER, broken["file"]: text.replace(broken["old"], broken["new"], 1)}
    assert faults_of(files) == [Fault(**fault) for fault in broken["faults"]]


def test_faults_of_all_files_are_reported_together() -> None:
    files = dict(SMALL_FOLDER)
    for file, old, new in (
        ("parts/camshaft.csv", ",240.00,", ",240 EUR,"),
        ("vehicles.csv", "heron,1298", "hern,1298"),
        ("work/engine.yaml", "minutes: 15", "minutes: -15"),
        ("rules/valve_train.yaml", "doing('drain')", "doing('drian')"),
    ):
        files[file] = files[file].replace(old, new, 1)
    assert {fault.where for fault in faults_of(files)} == {
        "parts/camshaft.csv:4:price",
        "vehicles.csv:3:family",
        "work/engine.yaml:drain:minutes",
        "rules/valve_train.yaml:oil_too:when",
    }


def test_an_empty_folder_misses_its_catalog_file() -> None:
    assert faults_of({}) == [Fault("catalog.yaml", "the file is missing", "Write catalog.yaml.")]


def test_an_empty_catalog_file_misses_each_field() -> None:
    faults = faults_of({"catalog.yaml": "# nothing yet\n"})
    assert {fault.where for fault in faults} >= {
        "catalog.yaml:name",
        "catalog.yaml:shop",
        "catalog.yaml:currency",
        "catalog.yaml:currency_exponent",
        "catalog.yaml:policy:labour_rate_per_hour",
        "catalog.yaml:policy:tax_of",
    }


@pytest.mark.parametrize(
    ("path", "mend"),
    [
        ("vehicle.csv", "Did you mean vehicles.csv?"),
        ("rules/more.yml", "Call it rules/more.yaml."),
        ("prices.csv", "Put it under parts, work, rules or cases, or take it out of the folder."),
    ],
)
def test_a_file_that_belongs_nowhere(path: str, mend: str) -> None:
    faults = faults_of({**SMALL_FOLDER, path: "a,b\n"})
    assert faults == [Fault(path, "a catalog has no such file", mend)]


def test_parts_of_a_type_that_is_not_declared() -> None:
    files = dict(SMALL_FOLDER)
    files["parts/cam_shaft.csv"] = files.pop("parts/camshaft.csv")
    assert faults_of(files) == [
        Fault(
            "parts/cam_shaft.csv",
            "unknown part type 'cam_shaft'",
            "Did you mean 'camshaft'? If not: Declare it in catalog.yaml.",
        )
    ]


def test_a_file_name_that_some_disks_would_change() -> None:
    files = {**SMALL_FOLDER, "rules/Valve Train.yaml": "limits: []\n"}
    assert faults_of(files) == [
        Fault(
            "rules/Valve Train.yaml",
            "the file name 'Valve Train' is not plain",
            "Use lower-case letters, digits, _ and -.",
        )
    ]


def test_bad_yaml_is_reported_at_its_line() -> None:
    files = {**SMALL_FOLDER, "work/engine.yaml": "steps:\n  - id: a\n\ttitle: b\n"}
    [fault] = faults_of(files)
    assert fault.where == "work/engine.yaml:3"
    assert fault.problem.startswith("not YAML: ")
    assert fault.mend == "Mend the line or its indent."


def test_yaml_that_is_no_record() -> None:
    files = {**SMALL_FOLDER, "work/engine.yaml": "- a\n- b\n"}
    assert faults_of(files) == [
        Fault("work/engine.yaml", "the file is not a record", "Write names and values.")
    ]


def test_references_wait_until_every_file_can_be_taken_apart() -> None:
    """Nothing is called unknown for being in a file that could not be read."""
    files = {**SMALL_FOLDER, "parts/camshaft.csv": 'brand,"number'}
    assert {fault.where.split(":")[0] for fault in faults_of(files)} == {"parts/camshaft.csv"}


def test_a_row_of_the_wrong_length_still_declares_its_part() -> None:
    text = SMALL_FOLDER["parts/camshaft.csv"].replace("180.00", "180,00", 1)
    assert [fault.where for fault in faults_of({**SMALL_FOLDER, "parts/camshaft.csv": text})] == [
        "parts/camshaft.csv:2"
    ]


def test_blank_lines_count_as_rows() -> None:
    text = SMALL_FOLDER["tools.csv"].replace("\n", "\n\n,,,,,,,,\n", 1).replace("95.00", "x")
    assert [fault.where for fault in faults_of({**SMALL_FOLDER, "tools.csv": text})] == [
        "tools.csv:4:buy_price"
    ]


def test_a_flood_of_unknown_parts_is_reported_whole_and_quickly() -> None:
    """Near names are looked for only so often, so that this takes no minutes."""
    rows = "".join(f"Halden,HX-{number},,,,,,,\n" for number in range(5000))
    files = {**SMALL_FOLDER, "fitment.csv": SMALL_FOLDER["fitment.csv"] + rows}
    faults = faults_of(files)
    assert len(faults) == 5000
    assert sum("Did you mean" in fault.mend for fault in faults) <= 50


def test_independent_rings_are_all_reported() -> None:
    rows = "A,1,A,2,\nA,2,A,1,\nB,1,B,2,\nB,2,B,3,\nB,3,B,1,\n"
    files = {
        **SMALL_FOLDER,
        "supersessions.csv": SMALL_FOLDER["supersessions.csv"] + rows,
    }
    first = SMALL_FOLDER["supersessions.csv"].count("\n") + 1
    assert [(fault.problem, fault.where, fault.mend) for fault in faults_of(files)] == [
        (
            "the numbers replace each other: A 1 → A 2 → A 1",
            f"supersessions.csv:{first + 1}:new_number",
            f"Take out one of the rows that lead round: {first}, {first + 1}.",
        ),
        (
            "the numbers replace each other: B 1 → B 2 → B 3 → B 1",
            f"supersessions.csv:{first + 4}:new_number",
            f"Take out one of the rows that lead round: {first + 2}, {first + 3}, {first + 4}.",
        ),
    ]


def test_a_long_chain_is_no_ring_and_no_deep_recursion() -> None:
    rows = "".join(f"A,{number},A,{number + 1},\n" for number in range(5000))
    files = {
        **SMALL_FOLDER,
        "supersessions.csv": SMALL_FOLDER["supersessions.csv"] + rows + "A,5000,Lumen,L-20,\n",
    }
    assert len(read_catalog(files).supersessions) == 5003


def test_rules_that_read_too_many_part_types() -> None:
    types = "".join(
        f"  - id: extra_{number}\n    label: Extra\n    layer: cam_chest\n" for number in range(5)
    )
    names = ", ".join(f"extra_{number}" for number in range(5))
    condition = " && ".join(f"extra_{number}.brand == 'Halden'" for number in range(5))
    files = dict(SMALL_FOLDER)
    files["catalog.yaml"] = files["catalog.yaml"].replace("consumables:", types + "consumables:")
    files["work/engine.yaml"] = files["work/engine.yaml"].replace(
        "renews: [oil]", f"renews: [oil, {names}]"
    )
    files["rules/more.yaml"] = (
        "limits:\n  - id: wide\n    sentence: Wide.\n    basis: common practice\n"
        f'    limit: "{condition}"\n'
    )
    assert faults_of(files) == [
        Fault(
            "rules/more.yaml:wide:when",
            f"the rule reads the target of 5 part types: {names}",
            "At most 4 can be looked at together; split the rule.",
        )
    ]
