"""Lists by the page: an opaque cursor, after which the next page goes on (AIP-158, RFC 8288)."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable, Iterable, Sequence
from typing import Final, Generic, TypeVar
from urllib.parse import urlencode

from fastapi import Request
from pydantic import BaseModel, ConfigDict, Field

from api.problems import ProblemRaised

default_size: Final = 50
largest_size: Final = 200

T = TypeVar("T")
SortKey = tuple[str, ...]


class ListQuery(BaseModel):
    """What every list can be asked."""

    model_config = ConfigDict(extra="forbid")

    q: str = Field(default="", max_length=200, description="Words that must all occur.")
    cursor: str = Field(default="", max_length=1000, description="Opaque; from `next`.")
    page_size: int = Field(
        default=0,
        ge=0,
        description=f"0 or absent: {default_size}. More than {largest_size} is taken as that.",
    )

    def filters(self) -> dict[str, object]:
        """What the cursor is bound to: everything but the place and the size of the page."""
        return self.model_dump(exclude={"cursor", "page_size"}, exclude_defaults=True)


class Page(Generic[T]):
    """``next_url`` None: this was the last page."""

    def __init__(self, rows: Sequence[T], next_url: str | None) -> None:
        self.rows = rows
        self.next_url = next_url

    @property
    def headers(self) -> dict[str, str]:
        return {"Link": f'<{self.next_url}>; rel="next"'} if self.next_url else {}


def paged(
    request: Request, rows: Iterable[T], query: ListQuery, key: Callable[[T], SortKey]
) -> Page[T]:
    """The page of ``rows`` that ``query`` asks for. ``key`` must tell every two rows apart.

    Raises ProblemRaised ``bad-cursor``. A page starts after a key, not at a count: rows that
    come or go between two pages make no other row appear twice or not at all.
    """
    bound = _bound_to(request.url.path, query)
    after = _opened(query.cursor, bound) if query.cursor else None
    ordered = sorted((row for row in rows if after is None or key(row) > after), key=key)
    size = min(query.page_size or default_size, largest_size)
    shown = ordered[:size]
    if len(ordered) == len(shown):
        return Page(shown, None)
    return Page(shown, _next_url(request, _sealed(key(shown[-1]), bound)))


def _next_url(request: Request, cursor: str) -> str:
    """Relative to the server, so that it holds behind any proxy."""
    kept = [pair for pair in request.query_params.multi_items() if pair[0] != "cursor"]
    return f"{request.url.path}?{urlencode([*kept, ('cursor', cursor)])}"


def _bound_to(path: str, query: ListQuery) -> str:
    content = json.dumps([path, query.filters()], sort_keys=True)
    return hashlib.sha256(content.encode()).hexdigest()[:16]


def _sealed(after: SortKey, bound: str) -> str:
    content = json.dumps({"v": 1, "of": bound, "after": after})
    return base64.urlsafe_b64encode(content.encode()).decode().rstrip("=")


def _opened(cursor: str, bound: str) -> SortKey:
    try:
        padded = cursor + "=" * (-len(cursor) % 4)
        content = json.loads(base64.b64decode(padded, altchars=b"-_", validate=True))
        if content["v"] != 1 or content["of"] != bound:
            raise ProblemRaised("bad-cursor", "It continues another list or another search.")
        return tuple(str(part) for part in content["after"])
    except (ValueError, KeyError, TypeError, RecursionError):
        raise ProblemRaised("bad-cursor", "It is not a cursor that was given out here.") from None


def words_match(query: str, *texts: str) -> bool:
    """Every word of ``query`` occurs in ``texts``, in any case; dashes and dots do not count
    (a number is written ``CV-2204``, ``CV 2204`` and ``cv2204``)."""
    spread = " ".join(texts).casefold()
    close = _close(spread)
    words = (word.casefold() for word in query.split())
    return all(word in spread or (_close(word) and _close(word) in close) for word in words)


def _close(text: str) -> str:
    return "".join(character for character in text if character.isalnum())
