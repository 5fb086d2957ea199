"""What a link in a message opens: that one reminder, its buttons, and nothing else of the collection.

To look changes nothing: mail programs open links by themselves. No session is read or begun.
"""

import threading
from collections.abc import Sequence
from typing import Any

from flask import Blueprint, make_response, render_template, request
from flask import Response as Answer

from tracker import collection, phrases
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.putoff import PutOff
from tracker.errors import BadInput, GoingError
from tracker.reminders.answered import Asked, asked_by
from tracker.reminders.links import LINKS_AT, Link, key_of, read
from tracker.reminders.putoff import choices, end
from tracker.uids import uid_of
from tracker.web.request import now, store, then, zone
from tracker.web.safety import LINKS
from tracker.words import say

pages = Blueprint(LINKS, __name__)

_one_at_a_time = threading.Lock()
"""Two answers to one link at the same moment: the second must see the first."""

FOUND = ("going", "stopped")


@pages.get(f"{LINKS_AT}<token>")
def page(token: str) -> Answer:
    """The reminder, and the buttons that answer it."""
    return _page(asked=_asked(token)[1])


@pages.post(f"{LINKS_AT}<token>")
def answer(token: str) -> Answer:
    """Log what was done, or put it off; the link is used up by it."""
    with _one_at_a_time:
        link, asked = _asked(token)
        try:
            commands, said = _put_off(link, asked) if "until" in request.form else _wound(link, asked)
            submit(store(), commands, collection.owner(store(), "message", now()), then=then())
        except BadInput as problem:
            return _page(problem.status, asked=asked, problem=problem.sentence)
    return _page(sentence=said)


@pages.errorhandler(GoingError)
def _refused(error: GoingError) -> Answer:
    return _page(error.status, sentence=error.sentence)


def _asked(token: str) -> tuple[Link, Asked]:
    link = read(token, key_of(store().path.parent), now())
    return link, asked_by(store().reading(), link, now(), zone())


def _page(status: int = 200, *, asked: Asked | None = None, sentence: str = "", problem: str = "") -> Answer:
    until = choices(asked.kind, asked.useful_until, now(), zone()) if asked else []
    page = render_template(
        "link.html",
        asked=asked,
        until=[(f"{each:%Y-%m-%dT%H:%M%z}", phrases.when(each, now(), zone())) for each in until],
        sentence=sentence,
        problem=problem,
    )
    answer = make_response(page, status)
    answer.headers["X-Robots-Tag"] = "noindex, nofollow"
    return answer


def _put_off(link: Link, asked: Asked) -> tuple[Sequence[Command], str]:
    command = build(PutOff, {"uid": link.uid, "reminder_uid": link.reminder_uid, "until": request.form["until"]})
    if command.until >= end(asked.kind, asked.useful_until, now()):
        raise BadInput(say("By then it is too late; nothing was put off."))
    when = phrases.when(command.until, now(), zone())
    return [command], say("Put off until {when}. You are told again then, if it is still true.", when=when)


def _wound(link: Link, asked: Asked) -> tuple[Sequence[Command], str]:
    """One winding for each watch that was said to be wound; the first carries the uid that uses up the link."""
    every = request.form.get("all", "")
    chosen = {uid: every or request.form.get(f"found-{uid}", "") for uid, _ in asked.watches}
    wound = {uid: found for uid, found in chosen.items() if found in FOUND}
    if not wound:
        raise BadInput(say("It is not said what was wound; nothing was noted."))
    uids = [link.uid, *(uid_of(link.uid, uid) for uid in list(wound)[1:])]
    commands = [_wind(uid, watch, found) for uid, (watch, found) in zip(uids, wound.items(), strict=True)]
    names = [name for uid, name in asked.watches if uid in wound]
    return commands, say("Noted: {names} wound now.", names=phrases.listed(names))


def _wind(uid: str, watch_uid: str, found: str) -> LogWind:
    # As the buttons of the round have it: hands that went are right as they are.
    hands = "left" if found == "going" else "unknown"
    fields: dict[str, Any] = {"uid": uid, "watch_uid": watch_uid, "at": now(), "zone": zone().key}
    return build(LogWind, {**fields, "found": found, "hands": hands})
