"""What every page asks of its request: the moment, the collection, who is there; and how a change is made."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, cast
from zoneinfo import ZoneInfo

from flask import current_app, flash, g, redirect, request, url_for
from werkzeug.wrappers import Response

from tracker import brought, collection
from tracker.collection import Preferences
from tracker.commands.base import Command, Who
from tracker.commands.door import Then, submit
from tracker.core.roundtimes import Away
from tracker.derive import Line
from tracker.estimating.patience import wait_for
from tracker.store.absences import aways
from tracker.store.barrels import any_barrel
from tracker.store.benchtests import bench_used
from tracker.store.command_log import is_example
from tracker.store.store import Store
from tracker.words import say

STORE_KEY = "going-store"
CLOCK_KEY = "going-clock"
BELL_KEY = "going-bell"
THEN_KEY = "going-then"


def now_of_request() -> None:
    """One moment for the whole request, so that its figures agree with each other."""
    g.now = current_app.extensions[CLOCK_KEY]()


def now() -> datetime:
    """The moment of this request."""
    return cast("datetime", g.now)


def store() -> Store:
    """The collection this site serves."""
    return cast("Store", current_app.extensions[STORE_KEY])


def preferences() -> Preferences:
    """The owner's settings, read once a request."""
    if "preferences" not in g:
        g.preferences = collection.preferences(store())
    return cast("Preferences", g.preferences)


def away() -> list[Away]:
    """When the owner is away."""
    return aways(store().reading())


def zone() -> ZoneInfo:
    """The owner's time zone."""
    return preferences().zone


def then() -> Then:
    """What sees to estimates that do not hold."""
    return cast("Then", current_app.extensions[THEN_KEY])


def line_for(*watch_uids: str) -> Line:
    """Who is still in line to be worked out, after a short wait for these watches (or for all)."""
    return wait_for(store(), now(), then(), watch_uids or None)


def what_every_page_says() -> dict[str, object]:
    """Values that the layout needs on every page."""
    db = store().reading()
    return {"example": is_example(db), "barrels_kept": any_barrel(db), "bench_used": bench_used(db)}


def who() -> Who:
    """Who gives the commands of this request."""
    return collection.owner(store(), "page", now())


def change(commands: Sequence[Command], said: str, where: str = "done") -> None:
    """Apply the commands and say so on the next page, with undo beside it; a repeat is said to be one.

    `where` names the place on that page; its head if left out.
    """
    done = submit(store(), commands, who(), then=then())
    if done.applied:
        tell(f"{said} {brought.told(store().reading(), done.brought)}".rstrip(), done.batch, where)
    else:
        tell(say("That had been noted already; nothing was added."), where=where)


def tell(said: str, batch: str = "", where: str = "done") -> None:
    """Say something on the next page, with undo beside it where a batch is named."""
    flash((said, batch), where)  # type: ignore[arg-type]  # flask keeps any JSON value


def back_to(endpoint: str, **values: Any) -> Response:
    """Go to a page after a change, so that a reload repeats nothing; `next` in the form names a page of ours instead."""
    wanted = request.form.get("next", "")
    ours = wanted.startswith("/") and not wanted.startswith(("//", "/\\"))
    return redirect(wanted if ours else url_for(endpoint, **values), 303)
