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
from typing import Final, TextIO, TypeVar

from pydantic import ValidationError

from api import listings, shape_faults, strict_json, wish
from api.cases import run_cases
from api.counter import as_typed
from api.editions import NoEdition
from api.errors import pointer
from api.service import Service
from api.settings import default_database
from api.shapes.answer import BuildListShape
from api.shapes.bundle import BundleCheckRequest
from api.shapes.request import Asked, BuildListRequest
from api.shapes.why import WhyNotRequest, WhyRequest
from api.store import NoDatabase, export_edition, load_folder, open_service
from db import read_checked
from rules.build import build_list
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty
from rules.text import render
from rules.vehicle_search import checked_facts

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
A = TypeVar("A", bound=Asked)


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
        from_file = getattr(given, "request", None) is not None
        lines = [str(fault if from_file else as_typed(fault)) for fault in error.faults]
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
    _wish_of(plan)
    bundle = _command(commands, "bundle", _bundle, "check parts bought elsewhere")
    bundle.add_argument("list", help="a text file with one number a line; -: stdin")
    bundle.add_argument("--vehicle", metavar="ID", help="a configuration (see: machines)")
    bundle.add_argument("--fact", action="append", default=[], metavar="NAME=VALUE")
    bundle.add_argument("--job", action="append", default=[], metavar="ID", help="(see: jobs)")
    bundle.add_argument("--json", action="store_true", help="print JSON, as the API answers")
    reason = _command(commands, "why", _why, "say why a line is in the build list")
    reason.add_argument("line", metavar="KIND:REF", help="as in part:camshaft or step:tank_off")
    _wish_of(reason)
    absence = _command(commands, "why-not", _why_not, "say why something is not in the build list")
    absence.add_argument("subject", metavar="PART", help="BRAND:NUMBER or NUMBER, or OPERATION/WAY")
    _wish_of(absence)
    _look_up_commands(commands)
    serve = _command(commands, "serve", _serve, "serve the API")
    serve.add_argument("--host", default="127.0.0.1", help="(%(default)s)")
    serve.add_argument("--port", type=int, default=8000, help="(%(default)s)")
    serve.add_argument("--workers", type=int, default=1, help="processes (%(default)s)")


def _look_up_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    machines = _command(commands, "machines", _machines, "list configurations")
    machines.add_argument("--fact", action="append", default=[], metavar="NAME=VALUE")
    parts = _command(commands, "parts", _parts, "list parts and kits with their numbers")
    parts.add_argument("--place", metavar="ID", help="only parts of this type (see: places)")
    listed = (
        ("jobs", listings.jobs, "list the jobs that can be asked for"),
        ("places", listings.places, "list the part types and what can be measured of them"),
        ("tools", listings.tools, "list the special tools"),
        ("facts", listings.facts, "list the facts of a machine and their values"),
    )
    made = [_command(commands, name, _lists(rows), text) for name, rows, text in listed]
    for parser in (machines, parts, *made):
        parser.add_argument("words", nargs="*", help="words that must all occur")


def _wish_of(parser: argparse.ArgumentParser) -> None:
    wish.add_arguments(parser)
    parser.add_argument("--request", metavar="FILE", help="a JSON request instead; -: stdin")
    parser.add_argument("--json", action="store_true", help="print JSON, as the API answers")


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
    if loaded.cases:
        were, them = ("case was", "it") if loaded.cases == 1 else ("cases were", "them")
        console.say(
            f"Its {loaded.cases} {were} not run; once-apart check {given.folder} runs {them}."
        )
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


def _why(given: argparse.Namespace, console: Console) -> int:
    # Imported here, because the route module brings the web along.
    from api.routes.why import answered_why, written  # noqa: PLC0415

    kind, _, ref = given.line.partition(":")
    with _service(given, console) as service:
        body = _body(given, service.editions.current().compiled)
        asked = _read(WhyRequest, {**body, "line": {"kind": kind, "ref": ref}})
        answer = answered_why(service, asked)
    console.out.write(written(answer, not given.json) + ("\n" if given.json else ""))
    return 0


def _why_not(given: argparse.Namespace, console: Console) -> int:
    from api.routes.why import answered_why_not, written  # noqa: PLC0415

    operation, slash, way = given.subject.partition("/")
    with _service(given, console) as service:
        compiled = service.editions.current().compiled
        is_way = slash and operation in compiled.operations
        asked = {"way": {"operation": operation, "way": way}}
        subject = asked if is_way else {"part": wish.part(given.subject)}
        body = _body(given, compiled)
        answer = answered_why_not(service, _read(WhyNotRequest, {**body, **subject}))
    console.out.write(written(answer, not given.json) + ("\n" if given.json else ""))
    return 0


def _bundle(given: argparse.Namespace, console: Console) -> int:
    # Imported here, because the route module brings the web along.
    from api.routes.bundle_checks import checked, written  # noqa: PLC0415

    text = _file_text(given.list)
    with _service(given, console) as service:
        compiled = service.editions.current().compiled
        vehicle = {"facts": wish.facts_only(given.fact, compiled)}
        if given.vehicle is not None:
            vehicle["id"] = given.vehicle
        body = {"vehicle": vehicle, "jobs": given.job, "text": text}
        check = checked(service, _read(BundleCheckRequest, body))
    console.out.write(written(check, not given.json) + ("\n" if given.json else ""))
    return 0


def _asked(given: argparse.Namespace, compiled: CompiledCatalog) -> BuildListRequest:
    if given.request is None:
        return _read(BuildListRequest, wish.written(given, compiled))
    return _read(BuildListRequest, _whole_wish(given))


def _body(given: argparse.Namespace, compiled: CompiledCatalog) -> wish.JsonObject:
    """The wish as the members of a JSON object, to which the question is added."""
    if given.request is None:
        return wish.written(given, compiled)
    body = _whole_wish(given)
    if not isinstance(body, dict):
        raise WronglyCalled(f"{given.request} holds no JSON object.")
    return body


def _whole_wish(given: argparse.Namespace) -> strict_json.Json:
    """A request from a file. Raises WronglyCalled when options would have to be passed over."""
    if options := wish.options_given(given):
        raise WronglyCalled(
            f"--request holds the whole wish, so {', '.join(options)} cannot stand beside it."
            " Put it into the file, or leave --request out."
        )
    return _from_file(given.request)


def _read(shape: type[A], body: object) -> A:
    try:
        return shape.model_validate(body)
    except ValidationError as error:
        raise Faulty(
            Fault(pointer(wrong["loc"]) or "/", *shape_faults.said(wrong, shape, "field"))
            for wrong in error.errors()
        ) from None


def _file_bytes(name: str) -> bytes:
    try:
        return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as error:
        raise WronglyCalled(f"{name}: {error.strerror}.") from None


def _file_text(name: str) -> str:
    try:
        return _file_bytes(name).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise WronglyCalled(f"{name} was not read: byte {error.start} is not UTF-8.") from None


def _from_file(name: str) -> strict_json.Json:
    try:
        return strict_json.loads(_file_bytes(name))
    except strict_json.NotStrictJson as error:
        raise WronglyCalled(f"{name} was not read: {error}.") from None


def _machines(given: argparse.Namespace, console: Console) -> int:
    with _service(given, console) as service:
        compiled = service.editions.current().compiled
    facts, faults = checked_facts(compiled, wish.facts_only(given.fact, compiled), "/--fact")
    if faults:
        raise Faulty(faults)
    return _listed(listings.machines(compiled, facts), given, console)


def _parts(given: argparse.Namespace, console: Console) -> int:
    with _service(given, console) as service:
        compiled = service.editions.current().compiled
    return _listed(listings.parts(compiled, given.place), given, console)


def _lists(rows: Callable[[CompiledCatalog], Iterable[listings.Row]]) -> Command:
    def listing(given: argparse.Namespace, console: Console) -> int:
        with _service(given, console) as service:
            compiled = service.editions.current().compiled
        return _listed(rows(compiled), given, console)

    return listing


def _listed(rows: Iterable[listings.Row], given: argparse.Namespace, console: Console) -> int:
    """That nothing is found is said on standard error: what is asked for is an empty list."""
    lines, otherwise = listings.found(rows, given.words)
    for line in lines:
        console.say(line)
    if otherwise:
        console.err.write(f"{otherwise}\n")
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
