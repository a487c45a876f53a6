"""A catalog folder read and checked whole: its form, its references, and whether it makes sense."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from db.folder import read_folder
from rules.compiled import CompiledCatalog, compile_catalog
from rules.faults import Fault, Faulty
from rules.folder import read_located
from rules.rule_checks import check_rules


class Checked(NamedTuple):
    """``warnings`` say what is odd; they keep nothing from loading."""

    compiled: CompiledCatalog
    warnings: tuple[Fault, ...]


def read_checked(folder: str | Path) -> Checked:
    """Raises Faulty with every fault: of the files or, where those are sound, of the rules."""
    catalog, places = read_located(read_folder(folder))
    compiled = compile_catalog(catalog)
    findings = check_rules(compiled, places)
    if findings.faults:
        raise Faulty(findings.faults)
    return Checked(compiled, findings.warnings)
