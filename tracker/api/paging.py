"""One page of a list, and the links to the next and the first (RFC 8288)."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar
from urllib.parse import urlencode

from tracker.api.problem import BadParameter
from tracker.words import say

Item = TypeVar("Item")

USUAL, MOST = 50, 200
"""Items of a page where nothing is said, and at most."""


@dataclass(frozen=True, slots=True)
class Page(Generic[Item]):
    """The items of one page; `after` is what the next one begins behind, empty on the last."""

    items: Sequence[Item]
    limit: int
    after: str


def page_of(items: Sequence[Item], uid: Callable[[Item], str], asked: Mapping[str, str]) -> Page[Item]:
    """The page that was asked for: so many (`limit`) items behind the one of this uid (`after`).

    Behind an item, not at a place: what is added meanwhile shifts no page.

    Raises:
        BadParameter: this is no number of items, or there is no such item any more.
    """
    limit, start = _limit(asked.get("limit", "")), 0
    if after := asked.get("after", ""):
        uids = [uid(each) for each in items]
        if after not in uids:
            raise BadParameter(
                say("There is nothing of this uid in the list, or no longer."),
                field="after",
                accepted=say("Begin anew with the first page."),
            )
        start = uids.index(after) + 1
    cut = items[start : start + limit]
    return Page(cut, limit, uid(cut[-1]) if start + limit < len(items) else "")


def _limit(typed: str) -> int:
    if not typed:
        return USUAL
    if not (typed.isascii() and typed.isdecimal() and len(typed) <= len(str(MOST)) and 1 <= int(typed) <= MOST):
        raise BadParameter(
            say("This is no number of items."), field="limit", accepted=say("Give 1 to {most}.", most=MOST)
        )
    return int(typed)


def links(page: Page[Item], address: str, others: Mapping[str, str]) -> str:
    """The Link header of a page of the list at this address; `others` are its further parameters."""
    first = {**others, "limit": str(page.limit)}
    told = [f'<{address}?{urlencode(first)}>; rel="first"']
    if page.after:
        told.insert(0, f'<{address}?{urlencode({**first, "after": page.after})}>; rel="next"')
    return ", ".join(told)
