"""What the first command does once the packages are there: load, show, serve."""

from __future__ import annotations

import sys
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Final

from api.bootstrap import ROOT
from api.cli import standard_console
from api.demo import Example, curl, example_of
from api.serving import address_trouble, base_url, serve
from api.settings import demo_database
from api.store import NoDatabase, load_folder, open_service, standing_edition
from rules.build import build_list
from rules.faults import Faulty
from rules.text import render

seed_data: Final = ROOT / "seed_data"


def first_run(*, serve_too: bool, host: str, port: int) -> int:
    """Load the demo catalog unless another is in force, print a build list, serve.

    Returns the exit status.
    """
    standard_console()
    trouble = address_trouble(host, port) if serve_too else None
    if trouble:
        return _refused([trouble.replace("add --port", "run python3 -m api --port")])
    url = f"sqlite:///{demo_database()}"
    try:
        shown = _load_and_show(url, seed_data)
    except Faulty as error:
        return _refused([str(fault) for fault in error.faults])
    except NoDatabase as error:
        return _refused([str(error)])
    if not serve_too:
        return 0
    if shown:
        print("The same from the API, in a second terminal:\n")
        print(curl(shown.written, base_url(host, port)) + "\n", flush=True)
    return serve(url, host, port, workers=1, err=sys.stdout)


def _load_and_show(url: str, folder: Path) -> Example | None:
    standing = standing_edition(url)
    if standing is None:
        place = demo_database().relative_to(ROOT)
        print(f"Loading the demo catalog of {folder.name}/ into {place}.")
        print(load_folder(url, folder, publish=True).sentence)
    else:
        print(f"{standing.name}: edition {standing.label} is in force and stays in force.")
        print(f"To put the demo catalog in its place: once-apart load {folder.name}")
    service = open_service(url, build_list, date.today)
    with closing(service.editions):
        example = example_of(service.editions.current().catalog)
        if example is None:
            print("The catalog has no case to show.")
            return None
        print(f"{example.says.rstrip('.')}:\n", flush=True)
        print(render(service.build_list(example.asked)), flush=True)
    return example


def _refused(lines: list[str]) -> int:
    sys.stderr.write("".join(f"{line}\n" for line in lines))
    return 2
