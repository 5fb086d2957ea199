"""What every page asks of its request: the moment, the collection, who is there; and how a change is made."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
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
from tracker.estimating.patience import LONGEST_S, wait_for
from tracker.reach import Reach
from tracker.sessions import logged_in
from tracker.speaking import speak_by
from tracker.store import people
from tracker.store.absences import aways
from tracker.store.barrels import any_barrel
from tracker.store.benchtests import bench_used
from tracker.store.command_log import is_example
from tracker.store.people import Person
from tracker.store.store import Store
from tracker.words import Formats, Speech, say, speak, speech

STORE_KEY = "going-store"
CLOCK_KEY = "going-clock"
BELL_KEY = "going-bell"
THEN_KEY = "going-then"
REACH_KEY = "going-reach"
PROGRAMS = "api"
"""The blueprint for programs: figures and days are theirs as files have them."""
COOKIE = "going-person"
"""What a browser that is logged in keeps."""


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who is there; without a session where nobody has to log in."""

    person: Person
    session_uid: str = ""


def now_of_request() -> None:
    """One moment for the whole request, so that its figures agree with each other."""
    g.now = current_app.extensions[CLOCK_KEY]()


def speak_of_request() -> None:
    """Speak as the owner's settings have it."""
    if request.endpoint != "static":
        speak_by(preferences().values)
    if request.blueprint == PROGRAMS:
        speak(replace(speech(), formats=Formats()))


def hush(_error: BaseException | None) -> None:
    """What is said in this thread after the request is no longer for its owner."""
    speak(Speech())


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


def line_for(*watch_uids: str, longest_s: float = LONGEST_S) -> Line:
    """Who is still in line to be worked out, after a short wait for these watches (or for all)."""
    return wait_for(store(), now(), then(), watch_uids or None, longest_s=longest_s)


def what_every_page_says() -> dict[str, object]:
    """Values that the layout needs on every page."""
    db = store().reading()
    return {
        "example": is_example(db),
        "barrels_kept": any_barrel(db),
        "bench_used": bench_used(db),
        "visitor": visitor(),
        "for_owner": for_owner(),
        "zone_name": zone().key,
        "language": speech().language,
    }


def reach() -> Reach:
    """From where this site is reached."""
    return cast("Reach", current_app.extensions[REACH_KEY])


def visitor() -> Visitor | None:
    """Who is there, asked once a request; None for someone who has to log in."""
    if "visitor" not in g:
        g.visitor = _visitor()
    return cast("Visitor | None", g.visitor)


def for_owner() -> bool:
    """Whether an owner is there, and so everything may be shown."""
    found = visitor()
    return found is not None and found.person.role == "owner"


def _visitor() -> Visitor | None:
    if not reach().logs_in:
        owner = people.first_owner(store().reading())
        return None if owner is None else Visitor(owner)
    found = logged_in(store(), request.cookies.get(COOKIE, ""), now())
    return None if found is None else Visitor(found.person, found.session.uid)


def who() -> Who:
    """Who gives the commands of this request.

    Raises:
        Unavailable: the file holds no owner.
    """
    given = collection.owner(store(), "page", now())
    found = visitor()
    return given if found is None else replace(given, person_uid=found.person.uid)


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
    return redirect(wanted if ours(wanted) else url_for(endpoint, **values), 303)


def ours(wanted: str) -> bool:
    """Whether an address that was sent along names a page of ours."""
    return wanted.startswith("/") and not wanted.startswith(("//", "/\\"))
