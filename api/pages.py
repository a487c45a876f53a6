"""The few pages for people: what this is, and one for each problem type. No script."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from importlib import resources
from typing import Final

from api.problems import ProblemType

stylesheet: Final = resources.files("api").joinpath("static/once_apart.css").read_text("utf-8")

_layout: Final = """\
<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<link rel="stylesheet" href="/once_apart.css">
</head>
<body>
<main>
{content}
</main>
<footer><a href="/">Once Apart</a> <a href="/openapi.json">OpenAPI</a>
<a href="/problems">Problems</a></footer>
</body>
</html>
"""

_purpose: Final = """\
<h1>Once Apart</h1>
<p class="lead">While it&#8217;s apart, do it once. Name a machine and what is wanted of it, and get
the whole job before the first bolt is turned: every part that must come along and why, the
work in order, the tools, the hours, the money, what will not go together, and what else is
worth renewing while the way in is open.</p>
"""


def home(catalog: str, demo: str | None, curl: str) -> str:
    """The front page. ``demo`` is a build list as text, ``curl`` the command that makes it."""
    content = [_purpose, f"<p>The catalog is <strong>{escape(catalog)}</strong>.</p>"]
    if demo is not None:
        content += [
            "<h2>An example</h2>",
            "<p>This command,</p>",
            _shown(curl, "The command"),
            "<p>run against this server, answers:</p>",
            _shown(demo, "The build list"),
        ]
    content.append(
        "<p>Without the <code>Accept</code> header the same answer comes as JSON."
        ' <a href="/openapi.json">/openapi.json</a> describes every operation.</p>'
    )
    return _layout.format(title="Once Apart", content="\n".join(content))


def _shown(text: str, label: str) -> str:
    """Preformatted text; focusable, because it may scroll sideways on a narrow screen."""
    return f'<pre tabindex="0" role="region" aria-label="{label}">{escape(text)}</pre>'


def problem_list(types: Iterable[ProblemType]) -> str:
    """Every problem type, with a link to its page."""
    rows = "\n".join(
        f'<tr><td>{known.status}</td><td><a href="{known.uri}">{known.slug}</a></td>'
        f"<td>{escape(known.title)}</td></tr>"
        for known in types
    )
    content = (
        "<h1>Problems</h1>\n<p>What a refusal means. Each carries the address of its page as"
        " <code>type</code> (RFC 9457).</p>\n<table>\n<thead><tr><th>Status</th><th>Type</th>"
        f"<th>Title</th></tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table>"
    )
    return _layout.format(title="Problems - Once Apart", content=content)


def problem_page(known: ProblemType) -> str:
    """One problem type."""
    content = (
        f"<h1>{escape(known.title)}</h1>\n"
        f"<p>Status {known.status}, type <code>{known.uri}</code></p>\n"
        f"<p>{escape(known.says)}</p>\n<h2>What mends it</h2>\n<p>{escape(known.mend)}</p>"
    )
    return _layout.format(title=f"{escape(known.title)} - Once Apart", content=content)
