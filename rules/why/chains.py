"""Why a line is in the list: the shortest chains from what was asked to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final, get_args

from rules.build import read_request
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty
from rules.identify import near
from rules.listing.context import Context
from rules.request import BuildRequest
from rules.unknown import settle
from rules.why.answer import ENDS, Chain, LineKind, Link, Why
from rules.why.causes import Cause, Causes, Node

CHAINS_SHOWN: Final = 8
"""Chains of equal length that are told; more are only counted as such."""


def why(
    compiled: CompiledCatalog, request: BuildRequest, kind: str, ref: str, *, edition: str
) -> Why:
    """Why a line is in the build list of ``request``.

    ``kind`` is one of ``LineKind``; ``ref`` the part type of a part or add-on, brand and number
    of a kit, the id of anything else. Raises Faulty when the request is wrong or there is no
    such line.
    """
    context = context_of(compiled, request)
    if kind not in get_args(LineKind):
        mend = f"Use one of: {', '.join(get_args(LineKind))}."
        raise Faulty([Fault("/line/kind", f"{kind!r} is no kind of line", mend)])
    causes = Causes(context)
    node = Node(kind, ref)  # type: ignore[arg-type]  # every line is a link
    _check_listed(context, causes, node)
    chains = list(shortest(causes, node))
    shown = tuple(Chain(links=chain) for chain in chains[:CHAINS_SHOWN])
    return Why(
        kind=kind,  # type: ignore[arg-type]  # checked above
        ref=ref,
        title=title_of(context, node),
        edition=edition,
        chains=shown,
        more=len(chains) > len(shown),
    )


def context_of(compiled: CompiledCatalog, request: BuildRequest) -> Context:
    """The plan of a request; the one that holds in every case while facts are missing.

    Raises Faulty when the request is wrong, or has no plan.
    """
    settled = settle(compiled, request, *read_request(compiled, request))
    if settled.plan is None or settled.plan.missing:
        mend = "Ask for the build list first: it says what is in the way."
        raise Faulty([Fault("/line", "this request has no build list", mend)])
    return Context(settled.model, settled.plan)


def listed_lines(context: Context) -> list[Node]:
    """Everything in the list that can be asked about, add-ons apart."""
    plan = context.plan
    consumables = {n for s in plan.steps for n in context.compiled.steps[s].consumables}
    return [
        *(Node("part", place) for place in plan.target),
        *(Node("kit", str(key)) for key in plan.kits),
        *(Node("operation", name) for name in sorted(plan.ways)),
        *(Node("step", name) for name in plan.steps),
        *(Node("sent_out", name) for name in sorted(plan.sent_out)),
        *(Node("tool", name) for name in plan.tools),
        *(Node("consumable", name) for name in sorted(consumables)),
    ]


def _check_listed(context: Context, causes: Causes, node: Node) -> None:
    if node in listed_lines(context) or (node.kind == "add_on" and causes.of(node)):
        return
    known = [line.ref for line in listed_lines(context) if line.kind == node.kind]
    mend = near(node.ref, known) if known else f"The list has no line of the kind {node.kind}."
    raise Faulty([Fault("/line/ref", f"the list has no such {node.kind}: {node.ref!r}", mend)])


# -- chains ----------------------------------------------------------------------------


def shortest(causes: Causes, line: Node) -> Iterator[tuple[Link, ...]]:
    """Every shortest chain, from what was asked to the line; by the machine only if by no wish.

    A line that no single thing brings about has a chain of its own: that every rule holds.
    """
    effects = _followed_back(causes, line)
    ends = [node for node in effects if node.kind in ENDS and node.kind != "machine"]
    for end in ends or [node for node in effects if node.kind == "machine"]:
        yield from _told(causes, effects, end, line)
    if not any(node.kind in ENDS for node in effects):
        sentence = "Chosen together with the rest so that every rule holds."
        yield (
            Link(kind="machine", ref=causes.machine.ref, sentence=causes.opening(causes.machine)),
            Link(kind=line.kind, ref=line.ref, sentence=sentence),
        )


Effects = dict[Node, list[tuple[Node, Cause]]]
"""For each cause, the effects one step nearer to the line."""


def _followed_back(causes: Causes, line: Node) -> Effects:
    """Breadth first from the line to the causes of its causes, up to the first wish."""
    effects: Effects = {line: []}
    level = [line]
    while level and not any(_is_wish(node) for node in level):
        following: dict[Node, list[tuple[Node, Cause]]] = {}
        for effect in level:
            for cause in causes.of(effect):
                if cause.node not in effects:
                    following.setdefault(cause.node, []).append((effect, cause))
        effects |= following
        level = list(following)
    return {n: e for n, e in effects.items() if not _is_wish(n) or n in level}


def _is_wish(node: Node) -> bool:
    return node.kind in ENDS and node.kind != "machine"


def _told(causes: Causes, effects: Effects, end: Node, line: Node) -> Iterator[tuple[Link, ...]]:
    opening = Link(kind=end.kind, ref=end.ref, sentence=causes.opening(end))
    for rest in _onward(effects, end, line):
        yield (opening, *rest)


def _onward(effects: Effects, node: Node, line: Node) -> Iterable[tuple[Link, ...]]:
    if node == line:
        yield ()
        return
    for effect, cause in effects[node]:
        link = Link(kind=effect.kind, ref=effect.ref, sentence=cause.sentence)
        for rest in _onward(effects, effect, line):
            yield (link, *rest)


def title_of(context: Context, node: Node) -> str:
    """A line's title, with its number where it has one."""
    compiled, plan = context.compiled, context.plan
    if node.kind == "part":
        part = plan.target[node.ref]
        return f"{part.title} ({part.key})"
    if node.kind == "kit":
        key = next(key for key in plan.kits if str(key) == node.ref)
        return f"{compiled.kits[key].title} ({key})"
    if node.kind == "add_on":
        return context.label(node.ref)
    titles = {
        "operation": {name: one.title for name, one in compiled.operations.items()},
        "tool": {name: one.title for name, one in compiled.tools.items()},
        "consumable": {name: one.title for name, one in compiled.consumables.items()},
    }
    steps = {name: one.title for name, one in compiled.steps.items()}
    return titles.get(node.kind, steps)[node.ref]
