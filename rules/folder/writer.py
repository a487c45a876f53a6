"""A catalog to the one canonical text of its folder.

Equal catalogs give equal bytes: the digest of an edition is taken over them. Empty files
and columns that no row uses are left out, and so is every value that is the default.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from hashlib import sha256

from rules.catalog import Catalog, Fitment, Kit, Part, PartType, Tool, Vehicle
from rules.folder.canonical import canonical
from rules.folder.cells import value_text
from rules.folder.conditions import condition_cells, used_columns
from rules.folder.read_sold import (
    FACTORY_COLUMNS,
    FITMENT_COLUMNS,
    KIT_COLUMNS,
    KIT_CONTENT_COLUMNS,
    PART_COLUMNS,
    SUPERSESSION_COLUMNS,
    TOOL_COLUMNS,
    VEHICLE_COLUMNS,
)
from rules.folder.tables import write_table
from rules.folder.write_yaml_files import write_yaml_files
from rules.money import decimal_text
from rules.values import Value

Cells = list[str]


def write_catalog(catalog: Catalog) -> dict[str, str]:
    """Relative path to text, for every file that holds something.

    ``read_catalog(write_catalog(c)) == canonical(c)`` for every catalog without faults.
    """
    tidy = canonical(catalog)
    tables = {
        "vehicles.csv": _vehicles(tidy),
        "factory_parts.csv": _factory_parts(tidy),
        "fitment.csv": _fitment(tidy),
        "supersessions.csv": _supersessions(tidy),
        "kits.csv": _table(KIT_COLUMNS.known, (_kit(kit, tidy) for kit in tidy.kits)),
        "kit_contents.csv": _kit_contents(tidy),
        "tools.csv": _table(TOOL_COLUMNS.known, (_tool(tool, tidy) for tool in tidy.tools)),
    }
    for part_type in tidy.part_types:
        tables[f"parts/{part_type.id}.csv"] = _parts(part_type, tidy)
    files = {path: text for path, text in tables.items() if text}
    return dict(sorted({**files, **write_yaml_files(tidy)}.items()))


def digest_of(files: Mapping[str, str]) -> str:
    """SHA-256 in hex over all paths and texts, each led by its length so that none can run
    into the next."""
    digest = sha256()
    for path, text in sorted(files.items()):
        for content in (path.encode(), text.encode()):
            digest.update(b"%d:" % len(content))
            digest.update(content)
    return digest.hexdigest()


def _table(header: Iterable[str], rows: Iterable[Cells]) -> str:
    """The table, or nothing when it has no rows."""
    listed = list(rows)
    return write_table(list(header), listed) if listed else ""


def _number(value: int | None, default: int | None = None) -> str:
    return "" if value is None or value == default else str(value)


def _amount(value: int | None, catalog: Catalog, default: int | None = None) -> str:
    if value is None or value == default:
        return ""
    return decimal_text(value, catalog.currency_exponent)


def _value(value: Value | None) -> str:
    return "" if value is None else value_text(value)


def _word(word: str, default: str) -> str:
    return "" if word == default else word


def _vehicles(catalog: Catalog) -> str:
    used = {name for vehicle in catalog.vehicles for name in vehicle.facts}
    facts = [fact.name for fact in catalog.facts if fact.name in used]
    return _table(
        [*VEHICLE_COLUMNS, *facts], (_vehicle(vehicle, facts) for vehicle in catalog.vehicles)
    )


def _vehicle(vehicle: Vehicle, facts: Iterable[str]) -> Cells:
    years = [str(vehicle.model_year_from), str(vehicle.model_year_to)]
    return [vehicle.id, vehicle.label, *years, *(_value(vehicle.facts.get(name)) for name in facts)]


def _factory_parts(catalog: Catalog) -> str:
    columns = used_columns((row.conditions for row in catalog.factory_parts), catalog.facts)
    return _table(
        [*FACTORY_COLUMNS, *columns],
        (
            [row.part_type, *row.part, *condition_cells(row.conditions, columns)]
            for row in catalog.factory_parts
        ),
    )


def _fitment(catalog: Catalog) -> str:
    columns = used_columns((row.conditions for row in catalog.fitment), catalog.facts)

    def cells(row: Fitment) -> Cells:
        fits = "" if row.fits else "no"
        return [*row.part, *condition_cells(row.conditions, columns), fits, row.note]

    header = [*FITMENT_COLUMNS.needed, *columns, *FITMENT_COLUMNS.optional]
    return _table(header, map(cells, catalog.fitment))


def _supersessions(catalog: Catalog) -> str:
    rows = ([*row.old, *row.new, row.note] for row in catalog.supersessions)
    return _table(SUPERSESSION_COLUMNS.known, rows)


def _kit(kit: Kit, catalog: Catalog) -> Cells:
    return [
        *kit.key,
        kit.title,
        _amount(kit.price, catalog),
        _number(kit.stock),
        _number(kit.lead_days),
        kit.supplier,
        kit.note,
    ]


def _kit_contents(catalog: Catalog) -> str:
    rows = (
        [*kit.key, *content.part, str(content.quantity)]
        for kit in catalog.kits
        for content in kit.contents
    )
    return _table(KIT_CONTENT_COLUMNS.known, rows)


def _tool(tool: Tool, catalog: Catalog) -> Cells:
    return [
        tool.id,
        tool.title,
        tool.purpose,
        "yes" if tool.owned else "",
        _amount(tool.hire_price, catalog),
        _number(tool.hire_lead_days),
        _amount(tool.buy_price, catalog),
        _amount(tool.resale_price, catalog),
        _number(tool.buy_lead_days),
    ]


def _parts(part_type: PartType, catalog: Catalog) -> str:
    own = [definition.name for definition in part_type.properties]
    parts = (part for part in catalog.parts if part.part_type == part_type.id)
    return _table([*PART_COLUMNS.known, *own], (_part(part, own, catalog) for part in parts))


def _part(part: Part, own: Iterable[str], catalog: Catalog) -> Cells:
    return [
        *part.key,
        part.title,
        _amount(part.price, catalog),
        _amount(part.core_deposit, catalog, 0),
        _number(part.pack_quantity, 1),
        _number(part.stock),
        _number(part.lead_days),
        _word(part.condition, "new"),
        _word(part.emission_class, "not_relevant"),
        _number(part.life_km),
        _word(part.status, "current"),
        part.supplier,
        part.note,
        *(_value(part.properties.get(name)) for name in own),
    ]
