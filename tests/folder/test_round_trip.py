"""Writing and reading lose nothing, and the canonical form is one form."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.catalog import Catalog
from rules.catalog_faults import check_catalog
from rules.faults import Faulty
from rules.folder import canonical, digest_of, read_catalog, write_catalog
from rules.folder.report import Report
from rules.folder.yaml_text import parse_yaml, write_yaml
from tests.folder.generated import catalogs, lines, numbers, texts, wholes
from tests.folder.small_folder import SMALL_FOLDER

SEED_FOLDER = Path(__file__).parents[2] / "seed_data"


def exactly(value: object) -> str:
    """A text in which 1, 1.0 and True differ, and the order of mappings does not count."""
    return json.dumps(_typed(value), sort_keys=True)


def _typed(value: object) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _typed(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, dict):
        return {key: _typed(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [type(value).__name__, *map(_typed, value)]
    return [type(value).__name__, repr(value)]


def test_the_small_folder_is_canonical_byte_for_byte() -> None:
    assert write_catalog(read_catalog(SMALL_FOLDER)) == SMALL_FOLDER


@settings(derandomize=True, deadline=None, max_examples=50)
@given(catalogs(), st.randoms(use_true_random=False))
def test_laws_of_writing_and_reading(catalog: Catalog, random: Any) -> None:
    """read(write(c)) is c in its canonical order, and write(read(files)) the same bytes, in
    whatever order the files come."""
    assert list(check_catalog(catalog)) == []
    files = list(write_catalog(catalog).items())
    random.shuffle(files)
    read = read_catalog(dict(files))
    assert exactly(read) == exactly(canonical(catalog))
    assert read == canonical(read)
    assert write_catalog(read) == dict(sorted(files))
    assert digest_of(write_catalog(canonical(catalog))) == digest_of(dict(files))


@settings(derandomize=True, deadline=None, max_examples=15)
@given(catalogs())
def test_canonical_yaml_means_the_same_to_another_reader(catalog: Catalog) -> None:
    """PyYAML's own safe loader, a YAML 1.1 reader, as the outside opinion.

    Numbers with an exponent but no dot are texts to YAML 1.1, so those files are left out.
    """
    for path, text in write_catalog(catalog).items():
        if path.endswith(".yaml"):
            _, ours = parse_yaml(path, text, Report())
            if not _has_exponents(ours):
                assert yaml.safe_load(text) == ours


def _has_exponents(value: object) -> bool:
    if isinstance(value, dict):
        return any(map(_has_exponents, value.values()))
    if isinstance(value, list):
        return any(map(_has_exponents, value))
    return isinstance(value, float) and "e" in repr(value)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    st.recursive(
        st.none() | st.booleans() | wholes | numbers | texts | st.just(""),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(lines, inner, max_size=3),
    )
)
def test_any_value_survives_yaml(value: object) -> None:
    report = Report()
    read, found = parse_yaml("x.yaml", write_yaml({"value": value}), report)
    assert (read, report.faults) == (True, ())
    assert exactly(found) == exactly({"value": value})


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.sampled_from(sorted(SMALL_FOLDER)), st.data())
def test_damaged_files_are_read_or_refused_but_never_crash(path: str, data: Any) -> None:
    text = SMALL_FOLDER[path]
    start = data.draw(st.integers(0, len(text)))
    stop = data.draw(st.integers(start, min(len(text), start + 20)))
    new = data.draw(st.text(max_size=8) | st.sampled_from(list('",:|[]{}&*!#-\n\t%@`')))
    files = {**SMALL_FOLDER, path: text[:start] + new + text[stop:]}
    try:
        catalog = read_catalog(files)
    except Faulty as refused:
        assert refused.faults
        assert all(one.where and one.problem and one.mend for one in refused.faults)
    else:
        assert exactly(read_catalog(write_catalog(catalog))) == exactly(catalog)


def test_the_seed_catalog_is_read_and_written_without_loss() -> None:
    files = {
        file.relative_to(SEED_FOLDER).as_posix(): file.read_text(encoding="utf-8")
        for file in SEED_FOLDER.rglob("*")
        if file.suffix in (".csv", ".yaml")
    }
    catalog = read_catalog(files)
    assert exactly(read_catalog(write_catalog(catalog))) == exactly(catalog)
