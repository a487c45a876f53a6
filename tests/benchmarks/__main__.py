"""``python -m tests.benchmarks [--json] [--plans N] [--questions N]``."""

from __future__ import annotations

import argparse
import json
from typing import Any

from . import demo, plans
from .figures import surroundings


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON instead of tables")
    parser.add_argument("--plans", type=int, default=40, help="generated plans to time")
    parser.add_argument("--questions", type=int, help="ask the demo catalog only so many")
    arguments = parser.parse_args()
    found = {
        "surroundings": surroundings(),
        "demo": demo.measure(arguments.questions),
        "plans": plans.measure(arguments.plans),
    }
    print(json.dumps(found, indent=2) if arguments.json else text(found))  # noqa: T201


def text(found: dict[str, Any]) -> str:
    """The same as tables."""
    about, asked, planned = found["surroundings"], found["demo"], found["plans"]
    lines = [
        ", ".join(f"{name} {value}" for name, value in about.items()),
        "",
        f"1. Demo catalog: {asked['machines']} machines x {asked['jobs']} jobs, "
        f"{asked['questions']} questions, whole answer with add-ons, reasons and totals",
        "   answers: " + ", ".join(f"{count} {name}" for name, count in asked["answers"].items()),
        f"   catalog made ready once: {asked['compile_ms']} ms; "
        f"very first answer: {asked['first_ms']} ms",
        _head("ms per answer"),
        _row("first pass", asked["cold_ms"]),
        _row("same questions again", asked["warm_ms"]),
        *(
            _row(f"  both passes, {status}", times)
            for status, times in asked["by_answer_ms"].items()
        ),
        "",
        f"2. Generated plans: {planned['size']}; {planned['plans']} answers",
        f"   add-ons per answer: p50 {planned['add_ons']['p50']:.0f}, "
        f"most {planned['add_ons']['max']:.0f}; {planned['optima']} optima, "
        "HiGHS agrees on each (add-ons to the rounding of tax)",
        "   base plan closed by: "
        + ", ".join(f"{name} {count}" for name, count in sorted(planned["proof"].items())),
        _head("ms per answer"),
        _row("our whole answer, first call", planned["ours_ms"]),
        _row("HiGHS, a model for each plan", planned["highs_ms"]),
        _row("  of which inside HiGHS", planned["highs_solving_only_ms"]),
        _head("times as long as ours"),
        _row("HiGHS, models written and solved", planned["ratio"]),
        _row("HiGHS, solving only", planned["ratio_solving_only"]),
    ]
    return "\n".join(lines)


def _head(title: str) -> str:
    return f"   {title:34} {'p50':>9} {'p95':>9} {'max':>9}"


def _row(title: str, figures: dict[str, float]) -> str:
    return f"   {title:34} " + " ".join(f"{figures[one]:9.2f}" for one in ("p50", "p95", "max"))


if __name__ == "__main__":
    main()
