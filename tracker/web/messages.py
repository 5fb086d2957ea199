"""The Messages page: what was I told, and why?"""

from datetime import datetime
from functools import cache
from zoneinfo import ZoneInfo

from flask import Blueprint, render_template, url_for

from tracker import phrases
from tracker.backup import daily
from tracker.channelwords import failing
from tracker.reminders import told
from tracker.reminders.links import LASTS, Link, key_of, sign
from tracker.reminders.told import Sending, Told
from tracker.store.channels import channels
from tracker.store.command_log import find_command
from tracker.web import absences
from tracker.web.request import now, preferences, store, zone
from tracker.words import say

pages = Blueprint("messages", __name__)

WHY = {
    "last call": "its wind-by comes near",
    "look": "a look at it tells much, or it may have stopped",
    "winder": "its winder does not do as it should",
    "cue": "its reserve has changed since the service",
    "round": "a round is due",
    "run": "it is its day for a run",
}
CLOSED = {
    "wound": "done: it was wound",
    "done": "done",
    "lapsed": "over: too late to be of use",
}


@pages.get("/messages")
def page() -> str:
    """The newest messages with how they fared, and those to come."""
    db = store().reading()
    newest, to_come = told.newest(db, zone(), now()), told.to_come(db, zone(), now())
    return render_template(
        "messages.html",
        head=head(newest, to_come, now(), zone()),
        newest=newest,
        to_come=to_come,
        fared=fared,
        why=why,
        leads_to=leads_to,
        answers=cache(answers_at),
        channel_set=bool(channels(db)),
        failing=failing(db, now(), zone()),
        backup=_backup_failed(),
        away=[each for each in absences.kept(db, now(), zone()) if each.begun],
        now=now(),
        zone=zone(),
    )


def _backup_failed() -> str:
    """What went wrong with the backups since the last one, if anything did."""
    return daily.standing(store().path.parent, preferences().values.backup_folder, now()).failed


def head(newest: list[Told], to_come: list[Told], now: datetime, zone: ZoneInfo) -> str:
    """What stands out, and what was said last."""
    waiting = [each for each in newest if each.state == "due"]
    first = say("{n} waiting for you.", n=phrases.number(len(waiting))) if waiting else say("Nothing waiting.")
    said = next((each for each in newest if each.state != "withdrawn"), None)
    if said is not None:
        at = phrases.when(said.due_at, now, zone)
        return say("{first} Last: {title}, {when}.", first=phrases.capital(first), title=said.message.title, when=at)
    if to_come:
        at = phrases.when(to_come[0].due_at, now, zone)
        return say(
            "{first} Next: {title}, {when}.", first=phrases.capital(first), title=to_come[0].message.title, when=at
        )
    return say("You have been told nothing yet, and nothing is to come.")


def leads_to(each: Told) -> str:
    """The page where it is seen to."""
    return url_for("round.page") if each.kind == "round" else url_for("watch.page", uid=each.watch_uid)


def answers_at(each: Told) -> str | None:
    """The page where it is answered, as the link in its message opens it; None where there is nothing to answer."""
    link = Link(each.uid, each.telling, now() + LASTS)
    if each.state != "due" or each.put_off_until or find_command(store().reading(), link.uid):
        return None
    return url_for("links.page", token=sign(link, key_of(store().path.parent)), back="messages")


def why(each: Told) -> str:
    """For what reason it is said."""
    return say(WHY[each.kind])


def fared(each: Told, now: datetime, zone: ZoneInfo) -> str:
    """What became of a message, on the page and on every channel."""
    at = phrases.when(each.changed_at, now, zone)
    if each.state == "withdrawn":
        return say("withdrawn {when}, before it was said: no longer true", when=at)
    stands = say("still stands") if each.state == "due" else say(CLOSED[each.closed_by or "done"])
    if each.put_off_until is not None:
        stands = say("put off until {when}", when=phrases.when(each.put_off_until, now, zone))
    over = each.state != "due"
    sent = [_sent(sending, now, zone, over=over) for sending in each.sending]
    return "; ".join([*(sent or [say("on the page")]), stands])


def _sent(sending: Sending, now: datetime, zone: ZoneInfo, *, over: bool) -> str:
    """How it fared on one channel. `over` tells that it is no longer to be said."""
    name, why = sending.channel, sending.last_error.rstrip(".")
    if sending.sent_at is not None:
        at = phrases.when(sending.sent_at, now, zone)
        twice = sending.state == "possibly twice"
        return (
            say("{name}: sent {when}, possibly twice", name=name, when=at)
            if twice
            else say("{name}: sent {when}", name=name, when=at)
        )
    if sending.state == "possibly twice":
        return say("{name}: it may have arrived: {why}", name=name, why=why)
    if sending.state == "given up":
        return say("{name}: not sent, given up: {why}", name=name, why=why)
    if over:
        withdrawn = say("{name}: withdrawn unsent, as it was no longer true", name=name)
        return say("{withdrawn} ({why})", withdrawn=withdrawn, why=why) if why else withdrawn
    return say("{name}: not sent yet: {why}", name=name, why=why) if why else say("{name}: waits", name=name)
