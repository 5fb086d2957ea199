"""What the page of people says."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.store.people import Person
from tracker.store.sessions import Session
from tracker.store.tokens import Token
from tracker.words import say

MOST_DAYS = 3650
BROWSERS = (("Firefox/", "Firefox"), ("Edg/", "Edge"), ("Chrome/", "Chrome"), ("Safari/", "Safari"))
"""What browsers call themselves, the particular before the general."""
SYSTEMS = (
    ("Android", "Android"),
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Windows", "Windows"),
    ("Mac OS", "macOS"),
    ("Linux", "Linux"),
)


@dataclass(frozen=True, slots=True)
class Line:
    """One session or token, in words."""

    uid: str
    name: str
    told: str
    version: int = 0


def first_line(everyone: Sequence[Person], sessions: Sequence[Session], *, logs_in: bool) -> str:
    """Who may come in?"""
    if not logs_in:
        return say("Whoever sits at this machine may do everything; nobody else can come in.")
    able = [each for each in everyone if each.secret_uid]
    if len(able) == 1:
        one = say("{name} alone may come in", name=phrases.capital(able[0].name))
    else:
        one = phrases.capital(say("{names} may come in", names=phrases.listed([each.name for each in able])))
    return say("{who}; browsers logged in: {n}.", who=one, n=len(sessions))


def session(each: Session, everyone: Sequence[Person], now: datetime, zone: ZoneInfo) -> Line:
    """A browser that is logged in."""
    used, ends = (phrases.when(moment, now, zone) for moment in (each.used, each.ends))
    told = say("{name}; used {used}; until {ends}", name=_name(each.person_uid, everyone), used=used, ends=ends)
    return Line(each.uid, browser(each.browser), told)


def token(each: Token, everyone: Sequence[Person], now: datetime, zone: ZoneInfo) -> Line:
    """A token, without its secret."""
    scope = {
        "read": say("reads"),
        "log": say("reads; notes winds and sightings"),
        "all": say("may do everything its person may"),
    }[each.scope]
    used = say("used {when}", when=phrases.when(each.used, now, zone)) if each.used else say("not used yet")
    ends = say("until {when}", when=phrases.when(each.expires, now, zone)) if each.expires else say("without an end")
    name = _name(each.person_uid, everyone)
    told = say("set; {scope}; for {name}; {used}; {ends}", scope=scope, name=name, used=used, ends=ends)
    return Line(each.uid, each.name, told, each.version)


def browser(agent: str) -> str:
    """A browser as its owner would call it."""
    name = next((word for sign, word in BROWSERS if sign in agent), "")
    system = next((word for sign, word in SYSTEMS if sign in agent), "")
    if name and system:
        return say("{browser} on {system}", browser=name, system=system)
    return name or re.split(r"[/ ]", agent)[0][:40] or say("a browser without a name")


def renewals() -> list[tuple[str, str, str]]:
    """Each kind of secret: its word, its button, what it does."""
    return [
        ("sessions", say("End every session"), say("Every browser, this one too, has to log in again.")),
        ("links", say("Void links in messages"), say("Those in messages sent until now open nothing any more.")),
        (
            "calendar",
            say("Move the calendar feed"),
            say("Its present address is void; the new one stands on Settings."),
        ),
        ("tokens", say("End every token"), say("Programs that use one are out.")),
    ]


def _name(uid: str, everyone: Sequence[Person]) -> str:
    return next((each.name for each in everyone if each.uid == uid), say("someone removed"))
