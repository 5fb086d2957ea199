"""What was found in the whole collection, and where it is when it is not among the watches in use."""

from collections.abc import Collection, Sequence

from tracker import phrases
from tracker.core.watch import Watch
from tracker.words import say


def elsewhere(every: Sequence[Watch], found: Collection[str], shown: Collection[str]) -> list[tuple[Watch, str]]:
    """The watches found that are not in the table, each with why not."""
    return [(watch, _where(watch)) for watch in every if watch.uid in found and watch.uid not in shown]


def _where(watch: Watch) -> str:
    if watch.customers:
        return say("a customer’s") if watch.went_out is None else say("a customer’s, went out")
    return say("put away") if watch.archived_at else say("being worked out")


def said(typed: str, count: int) -> str:
    """How many watches were found."""
    if not count:
        return say("No watch was found for “{typed}”.", typed=typed)
    if count == 1:
        return say("One watch was found for “{typed}”.", typed=typed)
    return say("{n} watches were found for “{typed}”.", n=phrases.capital(phrases.number(count)), typed=typed)
