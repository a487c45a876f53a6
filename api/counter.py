"""Faults as the counter needs them: by the option that was typed, with the command to look up."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from rules.faults import Fault
from rules.identify import look_it_up

_options: Final = tuple(
    (re.compile(pattern), option, command)
    for pattern, option, command in (
        (r"/vehicle/id", "--vehicle", "machines"),
        (r"/vehicle/facts/(?P<name>.+)", "--fact", "facts"),
        (r"/vehicle(/facts)?", "--fact", "facts"),
        (r"/--fact/(?P<name>.+)", "--fact", "facts"),
        (r"/jobs(/.*)?", "--job", "jobs"),
        (r"/parts_wanted(/.*)?", "--want", "parts"),
        (r"/parts_refused(/.*)?", "--refuse", "parts"),
        (r"/keep(/.*)?", "--keep", "places"),
        (r"/add_ons(/.*)?", "--add-on", "places"),
        (r"/fitted/\d+/properties/(?P<name>.+)", "--measured", "places"),
        (r"/fitted/\d+/part(/.*)?", "--fitted", "parts"),
        (r"/fitted(/.*)?", "--fitted", "places"),
        (r"/tools_owned(/.*)?", "--tool", "tools"),
        (r"/budget", "--budget", ""),
        (r"/aim", "--aim", ""),
        (r"/line(/.*)?", "KIND:REF", ""),
        (r"/(part|way)(/.*)?", "PART", "parts"),
        (r"/(lines|text)(/.*)?", "LIST", "parts"),
    )
)


def as_typed(fault: Fault) -> Fault:
    """``/keep/0`` -> ``--keep``; what is no place in a request stays as it is."""
    for pattern, option, command in _options:
        if read := pattern.fullmatch(fault.where):
            name = read.groupdict().get("name", "")
            where = f"{option} {name.replace('~1', '/').replace('~0', '~')}" if name else option
            looked_up = command and fault.mend == look_it_up
            mend = f"Look it up: once-apart {command}." if looked_up else fault.mend
            return replace(fault, where=where, mend=mend)
    return fault
