"""``once-apart``: the catalog keeper's and the counter's commands.

What is asked for goes to standard output. Whatever is wrong goes to standard error, one
fault a line, with exit status 2; a catalog that fails its check gives 1.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from io import TextIOWrapper
from pathlib import Path
from typing import Final, TextIO

from pydantic import ValidationError

from api import strict_json, wish
from api.cases import run_cases
from api.editions import NoEdition
from api.errors import pointer
from api.identify import checked_facts, matching
from api.paging import words_match
from api.service import Service
from api.settings import default_database
from api.shapes.answer import BuildListShape
from api.shapes.request import BuildListRequest
from api.store import NoDatabase, export_edition, load_folder, open_service
from db import read_checked
from rules.build import build_list
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty
from rules.text import render

refused: Final = 2


class WronglyCalled(Exception):
    """Said to the caller as it stands."""


@dataclass
class Console:
    """Where the commands write, and what day it is."""

    out: TextIO
    err: TextIO
    today: Callable[[], date] = date.today

    def say(self, text: str) -> None:
        self.out.write(f"{text}\n")

    def warn(self, warnings: Iterable[Fault]) -> None:
        """On standard error, so that what is said can be read by a program."""
        self.err.write("".join(f"warning: {warning}\n" for warning in warnings))


def standard_console() -> Console:
    """Standard output and error in UTF-8 wherever this runs, as the API answers."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8", newline="\n")
    return Console(sys.stdout, sys.stderr)


Command = Callable[[argparse.Namespace, Console], int]


def main(arguments: Sequence[str] | None = None, console: Console | None = None) -> int:
    """Run one command. Returns the exit status."""
    shown = console or standard_console()
    given = _parser().parse_args(arguments)
    command: Command = given.command
    try:
        return command(given, shown)
    except BrokenPipeError:  # whoever read the answer has read enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Faulty as error:
        lines = [str(fault) for fault in error.faults]
    except NoEdition as error:
        lines = [f"{error} Load one: once-apart load FOLDER"]
    except (NoDatabase, WronglyCalled) as error:
        lines = [str(error)]
    shown.err.write("".join(f"{line}\n" for line in lines))
    return refused


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="once-apart", description="From a machine and a wish to a validated build list."
    )
    parser.add_argument(
        "--database",
        metavar="URL",
        default=default_database(),
        help="sqlite:///PATH or postgresql+psycopg://... (%(default)s)",
    )
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    _catalog_commands(commands)
    _counter_commands(commands)
    return parser


_Commands = argparse._SubParsersAction  # the only name that argparse gives this


def _catalog_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    check = _command(commands, "check", _check, "check a catalog folder and run its cases")
    check.add_argument("folder", type=Path)
    load = _command(commands, "load", _load, "load a catalog folder as an edition and publish it")
    load.add_argument("folder", type=Path)
    load.add_argument("--unpublished", action="store_true", help="keep answering from the old one")
    export = _command(commands, "export", _export, "write the published edition as a folder")
    export.add_argument("folder", type=Path)


def _counter_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    plan = _command(commands, "plan", _plan, "print the build list for a machine and a wish")
    wish.add_arguments(plan)
    plan.add_argument("--request", metavar="FILE", help="a JSON request instead; -: stdin")
    plan.add_argument("--json", action="store_true", help="print JSON, as the API answers")
    machines = _command(commands, "machines", _machines, "list configurations")
    machines.add_argument("words", nargs="*", help="words that must all occur")
    machines.add_argument("--fact", action="append", default=[], metavar="NAME=VALUE")
    jobs = _command(commands, "jobs", _jobs, "list the jobs that can be asked for")
    jobs.add_argument("words", nargs="*", help="words that must all occur")
    serve = _command(commands, "serve", _serve, "serve the API")
    serve.add_argument("--host", default="127.0.0.1", help="(%(default)s)")
    serve.add_argument("--port", type=int, default=8000, help="(%(default)s)")
    serve.add_argument("--workers", type=int, default=1, help="processes (%(default)s)")


def _command(
    commands: _Commands[argparse.ArgumentParser], name: str, command: Command, text: str
) -> argparse.ArgumentParser:
    parser = commands.add_parser(name, help=text, description=f"{text[0].upper()}{text[1:]}.")
    parser.set_defaults(command=command)
    return parser


def _check(given: argparse.Namespace, console: Console) -> int:
    compiled, warnings = read_checked(given.folder)
    catalog = compiled.catalog
    console.warn(warnings)
    faults = list(run_cases(compiled, build_list, console.today()))
    for fault in faults:
        console.say(str(fault))
    cases = len(catalog.cases)
    outcome = f"{len(faults)} expectations not met" if faults else "all came out as expected"
    console.say(
        f"{catalog.name}: {len(catalog.parts)} parts, {len(catalog.vehicles)} configurations,"
        f" {len(catalog.rules)} rules; {cases} cases: {outcome}."
    )
    return 1 if faults else 0


def _load(given: argparse.Namespace, console: Console) -> int:
    loaded = load_folder(given.database, given.folder, publish=not given.unpublished)
    console.warn(loaded.warnings)
    console.say(loaded.sentence)
    return 0


def _export(given: argparse.Namespace, console: Console) -> int:
    if given.folder.exists() and any(given.folder.iterdir()):
        raise WronglyCalled(f"{given.folder} is not empty. Name a folder that does not exist yet.")
    edition, files = export_edition(given.database, given.folder)
    console.say(f"Edition {edition} written to {given.folder}: {files} files.")
    return 0


def _plan(given: argparse.Namespace, console: Console) -> int:
    with _service(given, console) as service:
        asked = _asked(given, service.editions.current().compiled)
        build = service.build_list(asked)
    if given.json:
        console.say(BuildListShape.model_validate(build).model_dump_json())
    else:
        console.out.write(render(build))
    return 0


def _asked(given: argparse.Namespace, compiled: CompiledCatalog) -> BuildListRequest:
    body = wish.written(given, compiled) if given.request is None else _from_file(given.request)
    try:
        return BuildListRequest.model_validate(body)
    except ValidationError as error:
        raise Faulty(
            Fault(pointer(wrong["loc"]) or "/", wrong["msg"], "Write it as /openapi.json says.")
            for wrong in error.errors()
        ) from None


def _from_file(name: str) -> strict_json.Json:
    try:
        body = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
        return strict_json.loads(body)
    except OSError as error:
        raise WronglyCalled(f"{name}: {error.strerror}.") from None
    except strict_json.NotStrictJson as error:
        raise WronglyCalled(f"{name} was not read: {error}.") from None


def _machines(given: argparse.Namespace, console: Console) -> int:
    with _service(given, console) as service:
        compiled = service.editions.current().compiled
    facts, faults = checked_facts(compiled, wish.facts_only(given.fact, compiled), ("--fact",))
    if faults:
        raise Faulty(faults)
    for vehicle in matching(compiled, facts):
        words = (vehicle.id, vehicle.label, *map(str, vehicle.facts.values()))
        if words_match(" ".join(given.words), *words):
            years = f"{vehicle.model_year_from} to {vehicle.model_year_to}"
            console.say(f"{vehicle.id:28} {years:13} {vehicle.label}")
    return 0


def _jobs(given: argparse.Namespace, console: Console) -> int:
    with _service(given, console) as service:
        compiled = service.editions.current().compiled
    for job in compiled.jobs.values():
        if words_match(" ".join(given.words), job.id, job.title, job.wish):
            console.say(f"{job.id:28} {job.title}: {job.wish}")
    return 0


def _serve(given: argparse.Namespace, console: Console) -> int:
    from api.serving import serve  # noqa: PLC0415 - the other commands need no web

    with _service(given, console) as service:
        service.editions.current()
    return serve(given.database, given.host, given.port, given.workers, console.err)


@contextmanager
def _service(given: argparse.Namespace, console: Console) -> Iterator[Service]:
    service = open_service(given.database, build_list, console.today)
    try:
        yield service
    finally:
        service.editions.close()


if __name__ == "__main__":
    sys.exit(main())
