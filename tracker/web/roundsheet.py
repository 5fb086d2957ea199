"""The sheet of the rounds to come, to be printed: what to wind, a box to tick, a time to write."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from flask import Blueprint, render_template, request, url_for

from tracker import phrases
from tracker.figures import Figures, survey
from tracker.planning import Planned, planned
from tracker.store import absences
from tracker.turn import turn
from tracker.web import cautions, pending
from tracker.web.absences import kept
from tracker.web.awayview import Visit, visit
from tracker.web.request import away, line_for, now, preferences, store, zone
from tracker.words import say

pages = Blueprint("roundsheet", __name__)

CHOICES = {"1": "today", "3": "three days", "7": "a week", "14": "a fortnight"}


@dataclass(frozen=True, slots=True)
class Absent:
    """An absence that is kept, in words; whether it has begun; the page that makes a sheet for its visits."""

    told: str
    begun: bool
    address: str


@pages.get("/round/sheet")
def page() -> str:
    """The rounds of as many days as the address asks for."""
    days = request.args.get("days", "") if request.args.get("days") in CHOICES else "1"
    line, found = line_for(), survey(store(), now(), with_runs=False).own
    plan = planned(found.known, preferences().values, now(), sitting=True, away=away())
    visits = rounds_of(plan, found.known, int(days), now())
    named = {each.uid for one in visits for each in one.lines}
    return render_template(
        "roundsheet.html",
        head=head(visits, int(days)),
        visits=visits,
        places={each.watch.uid: each.watch.place for each in found.known},
        resistance=cautions.past_resistance(each.watch for each in found.known if each.watch.uid in named),
        chosen=days,
        choices=[(word, say(label)) for word, label in CHOICES.items()],
        kept=_absences(),
        lacking=pending.pending(found.waiting),
        line=line,
        asks=pending.asks(line),
        pending=pending,
        now=now(),
        zone=zone(),
    )


def rounds_of(plan: Planned, figures: Sequence[Figures], days: int, now: datetime) -> list[Visit]:
    """The rounds of these days in which anything is wound; what is overdue comes in the first."""
    watches = {each.watch.uid: each.watch for each in figures}
    due = turn(plan, {each.watch.uid: each.standing.wind_by for each in figures})
    if due is None:
        return []
    last = now.astimezone(zone()).date() + timedelta(days=days - 1)
    wanted = {each.at: set(each.wind) for each in plan.plan.rounds}
    wanted[due.at] = {*due.wanted}
    return [
        visit(at, sorted((watches[uid] for uid in uids), key=lambda each: each.nickname.casefold()), now, zone())
        for at, uids in sorted(wanted.items())
        if uids and at.astimezone(zone()).date() <= last
    ]


def head(visits: Sequence[Visit], days: int) -> str:
    """What the sheet asks for."""
    if not visits:
        return (
            say("Nothing to wind today.") if days == 1 else say("Nothing to wind in {n} days.", n=phrases.number(days))
        )
    count = sum(len(each.lines) for each in visits)
    if len(visits) == 1:
        return say("To be wound: {n}", n=phrases.number(count))
    return say("To be wound in {rounds} rounds: {n}", rounds=phrases.number(len(visits)), n=phrases.number(count))


def _absences() -> list[Absent]:
    told = kept(store().reading(), now(), zone())
    aways = [each.away for each in absences.ahead(store().reading(), now())]
    return [
        Absent(
            each.told,
            each.begun,
            url_for("away.page", leave=_local(each_away.leave), back=_local(each_away.back), every=1),
        )
        for each, each_away in zip(told, aways, strict=True)
    ]


def _local(moment: datetime) -> str:
    return moment.astimezone(zone()).strftime("%Y-%m-%dT%H:%M")
