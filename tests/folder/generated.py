"""Random catalogs without faults, for laws that hold for every catalog.

Texts are drawn from all of Unicode that a catalog may hold; numbers from all finite doubles
and all whole numbers that are allowed; every kind of record occurs.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any
from unicodedata import normalize

from hypothesis import strategies as st

from rules.catalog import (
    Case,
    Catalog,
    Caution,
    Consumable,
    Exclusion,
    FactCondition,
    FactoryPart,
    FieldDefinition,
    Figure,
    Fitment,
    Job,
    Kit,
    KitContent,
    Layer,
    Limit,
    Operation,
    Part,
    PartKey,
    PartType,
    PricePolicy,
    Recommendation,
    Requirement,
    Rule,
    SendOut,
    Step,
    Supersession,
    TaxClass,
    Tool,
    Vehicle,
    Way,
)
from rules.catalog_faults.definitions import LINE_KINDS
from rules.folder.plain_text import refused_character
from rules.values import Value, ValueKind

Draw = Callable[[st.SearchStrategy[Any]], Any]

LARGEST = 2**53 - 1
FILES = ("main", "engine", "chassis-2", "a_b")

_CHARACTERS = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"))
_SPECIAL = st.sampled_from(
    ["yes", "no", "null", "~", "true", "1", "0x1", "1e3", "-", "- a", "a: b", "a #b", "#", "'",
     '"', '"a"', "a,b", ";", "=1+1", "@x", "{a}", "[a]", "&a", "*a", "!t", "|", ">", "%", "`",
     "\\", "\\n", "<<", "...", "---", "a: ", "?", "é", "漢字", "🏍", "off.", "N/A"]
)  # fmt: skip


def _is_line(text: str) -> bool:
    return bool(text) and refused_character(text) is None and not re.search(r"[\n\t]", text)


lines = (st.text(_CHARACTERS, min_size=1, max_size=12) | _SPECIAL).map(
    lambda text: normalize("NFC", text).strip()
).filter(_is_line)  # fmt: skip
"""Texts on one line, trimmed and composed."""

texts = st.lists(lines, min_size=1, max_size=3).map("\n".join)
notes = st.just("") | texts
words = lines.filter(lambda text: "|" not in text)
amounts = st.integers(0, 10**12)
wholes = st.integers(-LARGEST, LARGEST)
counts = st.integers(1, 10**6)
numbers = st.floats(allow_nan=False, allow_infinity=False).map(lambda number: number + 0.0)
maybe_counts = st.none() | counts


def names(prefix: str, most: int, least: int = 0) -> st.SearchStrategy[list[str]]:
    """Distinct names; the prefix keeps the kinds apart."""
    count = st.integers(least, most)
    return count.map(lambda number: [f"{prefix}_{index}a" for index in range(number)])


@st.composite
def definitions(draw: Draw, name: str) -> FieldDefinition:
    kind: ValueKind = draw(st.sampled_from(["text", "number", "whole", "flag"]))
    bounds = sorted(draw(st.lists(numbers, min_size=2, max_size=2)))
    bounded = kind in ("number", "whole") and draw(st.booleans())
    measured = kind in ("number", "whole") and draw(st.booleans())
    return FieldDefinition(
        name=f"{name}_mm" if measured else name,
        kind=kind,
        label=draw(lines),
        unit="mm" if measured else None,
        values=tuple(draw(st.lists(words, max_size=3, unique=True))) if kind == "text" else (),
        minimum=bounds[0] if bounded and kind == "number" else None,
        maximum=bounds[1] if bounded and kind == "number" else None,
        question=draw(st.none() | texts),
    )


@st.composite
def values(draw: Draw, definition: FieldDefinition) -> Value:
    strategies: Mapping[str, st.SearchStrategy[Any]] = {
        "text": st.sampled_from(definition.values) if definition.values else words,
        "number": st.floats(
            definition.minimum, definition.maximum, allow_nan=False, allow_infinity=False
        ).map(lambda number: number + 0.0),
        "whole": wholes,
        "flag": st.booleans(),
    }
    value: Value = draw(strategies[definition.kind])
    return value


YEARS = FieldDefinition(
    name="model_year", kind="whole", label="Model year", minimum=1900.0, maximum=2100.0
)
years = st.integers(1900, 2100)


@st.composite
def conditions(draw: Draw, facts: Sequence[FieldDefinition]) -> tuple[FactCondition, ...]:
    found = []
    for fact in facts:
        if draw(st.booleans()):
            continue
        own = years if fact.name == "model_year" else values(fact)
        chosen = draw(st.lists(own, min_size=1, max_size=2, unique=True))
        if fact.kind in ("number", "whole") and draw(st.booleans()):
            ends = sorted(map(float, chosen))
            low, high = draw(
                st.sampled_from([(ends[0], ends[-1]), (ends[0], None), (None, ends[-1])])
            )
            found.append(FactCondition(fact=fact.name, low=low, high=high))
        else:
            found.append(FactCondition(fact=fact.name, values=tuple(chosen)))
    return tuple(found)


@st.composite
def parts(draw: Draw, key: PartKey, part_type: PartType) -> Part:
    known = {
        definition.name: draw(st.none() | values(definition)) for definition in part_type.properties
    }
    return Part(
        key=key,
        part_type=part_type.id,
        title=draw(lines),
        price=draw(amounts),
        core_deposit=draw(st.just(0) | amounts),
        pack_quantity=draw(st.just(1) | counts),
        stock=draw(st.none() | st.integers(0, LARGEST)),
        lead_days=draw(maybe_counts),
        condition=draw(st.sampled_from(["new", "rebuilt", "used"])),
        emission_class=draw(st.sampled_from(["not_relevant", "exempted", "unknown"])),
        life_km=draw(maybe_counts),
        status=draw(st.sampled_from(["current", "withdrawn"])),
        supplier=draw(st.just("") | lines),
        note=draw(notes),
        properties=known,
    )


def keys(most: int) -> st.SearchStrategy[list[PartKey]]:
    """Distinct brands and numbers, also when capitals are taken for small letters."""
    return st.lists(
        st.builds(PartKey, lines, lines),
        max_size=most,
        unique_by=lambda key: (key.brand.casefold(), key.number.casefold()),
    )


@st.composite
def steps(draw: Draw, name: str, earlier: Sequence[str], catalog: Catalog) -> Step:
    some = _some(draw)
    return Step(
        id=name,
        title=draw(lines),
        layer=draw(st.sampled_from([layer.id for layer in catalog.layers])),
        minutes=draw(st.integers(0, 600) | st.just("vehicle.model_year >= 1950 ? 45 : 35")),
        needs=some(earlier),
        spends=some([part_type.id for part_type in catalog.part_types]),
        tools=some([tool.id for tool in catalog.tools]),
        consumables={one.id: draw(counts) for one in catalog.consumables if draw(st.booleans())},
        send_out=draw(
            st.none()
            | st.builds(SendOut, title=lines, price=amounts, lead_days=counts, minutes=counts)
        ),
        when=draw(_facts_only),
        note=draw(notes),
        stage=draw(st.sampled_from(["strip", "work", "finish"])),
        after=some(earlier),
        file=draw(st.sampled_from(FILES)),
    )


_facts_only = st.none() | st.just("vehicle.model_year >= 1950\n  || vehicle.model_year < 1910")


def _some(draw: Draw) -> Callable[[Sequence[str]], tuple[str, ...]]:
    return lambda known: tuple(draw(st.lists(st.sampled_from(known), unique=True, max_size=3))
                               if known else ())  # fmt: skip


@st.composite
def rules(draw: Draw, name: str, catalog: Catalog) -> Rule:
    part_type = draw(st.sampled_from([one.id for one in catalog.part_types]))
    step = draw(st.sampled_from([one.id for one in catalog.steps]))
    common: dict[str, Any] = {
        "id": name, "sentence": draw(texts), "basis": draw(texts),
        "file": draw(st.sampled_from(FILES)),
        "when": draw(st.none() | st.sampled_from(
            [f"renewed('{part_type}')", f"doing('{step}') && vehicle.model_year > 1960"]
        )),
    }  # fmt: skip
    about = f"{part_type}.brand == 'Halden'"
    built: Rule = draw(
        st.sampled_from(
            [
                Limit(**common, limit=about, unit=None),
                Limit(**common, limit=f"{part_type}.life_km + 1 >= 5000", unit="km"),
                Requirement(**common, renew=part_type, quantity=draw(maybe_counts)),
                Requirement(**common, renew=part_type, quantity="vehicle.model_year"),
                Requirement(**common, part_type=part_type, where=about),
                Requirement(**common, do=step),
                Exclusion(**common, not_together=(about, f"present('{part_type}')")),
                Recommendation(**common, renew=part_type, life_km=draw(maybe_counts)),
                Caution(**common, kind="fuel", steps=(step,), parts=(part_type,)),
            ]
        )
    )
    return built


_json = st.recursive(
    st.none() | st.booleans() | wholes | numbers | lines,
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(lines, inner, max_size=2),
    max_leaves=5,
)


@st.composite
def cases(draw: Draw, name: str, catalog: Catalog) -> Case:
    vehicle = {"facts": {"model_year": draw(years), "open": draw(numbers)}}
    request = {
        "vehicle": vehicle,
        "jobs": [job.id for job in catalog.jobs],
        "x": draw(_json),
    }
    expect = {
        "status": draw(st.sampled_from(["valid", "conflict"])),
        "renews": [catalog.part_types[0].id],
        "minutes": draw(counts),
        "total": "12",
    }
    return Case(
        id=name,
        says=draw(texts),
        request=request,
        expect=expect,
        file=draw(st.sampled_from(FILES)),
    )


@st.composite
def _bare(draw: Draw) -> Catalog:
    """A catalog with everything that ``catalog.yaml`` holds, and no more."""
    layers = [
        Layer(id=name, label=draw(lines), depth=draw(st.integers(0, 9)))
        for name in draw(names("layer", 2, 1))
    ]
    classes = [
        TaxClass(id=name, label=draw(lines), basis_points=draw(st.integers(0, 10_000)))
        for name in draw(names("tax", 3, 1))
    ]
    part_types = [
        PartType(
            id=name,
            label=draw(lines),
            layer=draw(st.sampled_from(layers)).id,
            quantity=draw(counts | st.just("vehicle.model_year > 1950 ? 1 : 2")),
            counted_in=draw(st.sampled_from(["piece", "ml"])),
            properties=tuple(draw(definitions(one)) for one in draw(names("property", 3))),
        )
        for name in draw(names("type", 3, 1))
    ]
    return Catalog(
        name=draw(lines),
        shop=draw(lines),
        currency=draw(st.sampled_from(["EUR", "JPY", "KWD"])),
        currency_exponent=draw(st.integers(0, 4)),
        policy=PricePolicy(
            labour_rate_per_hour=draw(amounts),
            labour_basis=draw(st.sampled_from(["book time", "clock time"])),
            time_table=draw(lines),
            tax_basis=draw(st.sampled_from(["document", "line"])),
            tax_of={kind: draw(st.sampled_from(classes)).id for kind in LINE_KINDS},
            prices_from=draw(lines),
        ),
        facts=(YEARS, *(draw(definitions(one)) for one in draw(names("fact", 3)))),
        layers=tuple(layers),
        part_types=tuple(part_types),
        tax_classes=tuple(classes),
        consumables=tuple(
            Consumable(id=name, title=draw(lines), price=draw(amounts))
            for name in draw(names("use", 2))
        ),
        figures=tuple(
            Figure(
                id=name,
                label=draw(lines),
                value="double(vehicle.model_year) / 3.0",
                unit=draw(st.none() | lines),
                digits=draw(st.integers(0, 6)),
                when=draw(st.none() | st.just("vehicle.model_year > 1950")),
            )
            for name in draw(names("figure", 2))
        ),
    )


@st.composite
def _with_things_sold(draw: Draw, catalog: Catalog) -> Catalog:
    own = [fact for fact in catalog.facts if fact.name != "model_year"]
    sold = draw(keys(6))
    kit_count = draw(st.integers(0, min(2, len(sold) // 2)))
    kit_keys, part_keys = sold[:kit_count], sold[kit_count:]
    all_parts = [draw(parts(key, draw(st.sampled_from(catalog.part_types)))) for key in part_keys]
    vehicles = []
    for name in draw(names("bike", 3)):
        first, last = sorted((draw(years), draw(years)))
        fixed = {fact.name: draw(values(fact)) for fact in own if draw(st.booleans())}
        vehicles.append(
            Vehicle(
                id=name,
                label=draw(lines),
                model_year_from=first,
                model_year_to=last,
                facts=fixed,
            )
        )
    return replace(
        catalog,
        vehicles=tuple(vehicles),
        parts=tuple(all_parts),
        factory_parts=tuple(
            FactoryPart(
                part_type=part.part_type, part=part.key, conditions=draw(conditions(catalog.facts))
            )
            for part in {part.part_type: part for part in all_parts}.values()
        ),
        fitment=tuple(
            Fitment(
                part=part.key,
                conditions=draw(conditions(catalog.facts)),
                fits=draw(st.booleans()),
                note=draw(notes),
            )
            for part in all_parts
        ),
        supersessions=tuple(
            Supersession(old=PartKey("Old", f"O-{index}"), new=key, note=draw(notes))
            for index, key in enumerate(sold)
        ),
        kits=tuple(draw(_kit(key, part_keys)) for key in kit_keys),
        tools=tuple(draw(_tool(name)) for name in draw(names("tool", 3))),
    )


@st.composite
def _kit(draw: Draw, key: PartKey, part_keys: Sequence[PartKey]) -> Kit:
    held = draw(st.lists(st.sampled_from(part_keys), min_size=1, max_size=3, unique=True))
    return Kit(
        key=key,
        title=draw(lines),
        price=draw(amounts),
        contents=tuple(KitContent(part=part, quantity=draw(counts)) for part in held),
        stock=draw(maybe_counts),
        lead_days=draw(maybe_counts),
        supplier=draw(st.just("") | lines),
        note=draw(notes),
    )


@st.composite
def _tool(draw: Draw, name: str) -> Tool:
    hired, bought = draw(st.booleans()), draw(st.booleans())
    price = draw(amounts)
    return Tool(
        id=name,
        title=draw(lines),
        purpose=draw(lines),
        owned=draw(st.booleans()),
        hire_price=draw(amounts) if hired else None,
        hire_lead_days=draw(maybe_counts) if hired else None,
        buy_price=price if bought else None,
        resale_price=draw(st.none() | st.integers(0, price)) if bought else None,
        buy_lead_days=draw(maybe_counts) if bought else None,
    )


@st.composite
def _with_work(draw: Draw, catalog: Catalog) -> Catalog:
    step_names = draw(names("step", 4, 1))
    made = [draw(steps(name, step_names[:index], catalog)) for index, name in enumerate(step_names)]
    operations = [
        Operation(
            id=f"renew_{part_type.id}",
            title=draw(lines),
            ways=tuple(
                Way(
                    id=name,
                    title=draw(lines),
                    steps=(draw(st.sampled_from(step_names)),),
                    when=draw(_facts_only),
                    note=draw(notes),
                )
                for name in draw(names("way", 2, 1))
            ),
            renews=(part_type.id,),
            note=draw(notes),
            file=draw(st.sampled_from(FILES)),
        )
        for part_type in catalog.part_types
    ]
    renewed = catalog.part_types[0].id
    jobs = [
        Job(
            id=name,
            title=draw(lines),
            wish=draw(texts),
            renew=(renewed,),
            where=draw(st.sampled_from([{}, {renewed: f"{renewed}.brand != 'x'"}])),
            operations=_some(draw)([operation.id for operation in operations]),
            when=draw(_facts_only),
            file=draw(st.sampled_from(FILES)),
        )
        for name in draw(names("job", 2))
    ]
    return replace(catalog, steps=tuple(made), operations=tuple(operations), jobs=tuple(jobs))


@st.composite
def catalogs(draw: Draw) -> Catalog:
    """A whole catalog. Its records are in any order, not only the canonical one."""
    catalog: Catalog = draw(_bare())
    catalog = draw(_with_things_sold(catalog))
    catalog = draw(_with_work(catalog))
    catalog = replace(
        catalog, rules=tuple(draw(rules(name, catalog)) for name in draw(names("rule", 4)))
    )
    return replace(
        catalog, cases=tuple(draw(cases(name, catalog)) for name in draw(names("case", 2)))
    )
