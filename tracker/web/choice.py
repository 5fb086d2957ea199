"""The page where a watch is moved to another round of the plan: one tap on the watch brings it up, one moves it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from tracker import choicewords, phrases
from tracker.commands.build import build
from tracker.commands.choice import ChooseRound, LetPlanDecide
from tracker.figures import Figures, survey
from tracker.moving import moved, refuse_unplanned
from tracker.planning import Planned, planned
from tracker.uids import new_uid
from tracker.web.request import away, back_to, change, now, preferences, store, zone
from tracker.words import say

pages = Blueprint("choice", __name__)

PAST = 2
"""So many rounds past its wind-by are offered at once; the others are told when asked for."""


@dataclass(frozen=True, slots=True)
class Offered:
    """A round to choose: its moment for the form, when it is in words, what it means, who else is wound in it."""

    at: str
    when: str
    meaning: str
    others: str
    present: bool
    late: bool


@pages.get("/plan/<uid>")
def page(uid: str) -> str:
    """Every round of the fortnight, and what it would mean to wind this watch there."""
    figures = _figures()
    names = {each.watch.uid: each.watch.nickname for each in figures}
    found = planned(figures, preferences().values, now(), sitting=True, away=away())
    refuse_unplanned(found, uid)
    offers = rounds_offered(found, uid, names, now())
    late = [each for each in offers if each.late]
    return render_template(
        "choice.html",
        uid=uid,
        nickname=names[uid],
        head=_head(found, uid, names[uid]),
        chosen=uid in found.chosen,
        offers=[each for each in offers if not each.late or each in late[:PAST] or each.present],
        later=[each for each in late[PAST:] if not each.present],
        key=new_uid(now()),
    )


@pages.post("/plan/<uid>")
def move(uid: str) -> Response:
    """Wind it next in the round named, or leave it to the plan where none is."""
    fields = {"uid": request.form.get("key") or new_uid(now()), "watch_uid": uid}
    at = request.form.get("at")
    command = build(ChooseRound, fields | {"at": at}) if at else build(LetPlanDecide, fields)
    change([command], moved(command, _figures(), preferences().values, now(), away()), "plan")
    return back_to("round.page", _anchor="plan")


def _figures() -> list[Figures]:
    return survey(store(), now(), with_runs=False).own.known


def rounds_offered(found: Planned, uid: str, names: Mapping[str, str], now: datetime) -> list[Offered]:
    """Every round to come of this plan as a choice for this watch, and the one it is planned for."""
    wound = {each.at: [names[one] for one in each.wind if one != uid] for each in found.plan.rounds}
    first = _first(found, uid)
    return [
        Offered(
            at=each.isoformat(),
            when=phrases.capital(choicewords.when(each, now, zone())),
            meaning=choicewords.before(left),
            others=_others(wound.get(each)),
            present=each == first,
            late=left is not None and left < timedelta(0),
        )
        for each in found.rounds
        if each > now or each == first
        for left in [choicewords.at(found, uid, each)]
    ]


def _first(found: Planned, uid: str) -> datetime | None:
    return next((each.at for each in found.plan.rounds if uid in each.wind), None)


def _others(names: Sequence[str] | None, most: int = 3) -> str:
    if not names:
        return say("no other watch") if names is None else say("this watch alone")
    more = [say("{n} more", n=phrases.number(len(names) - most))] if len(names) > most else []
    return say("with {names}", names=phrases.listed([*names[:most], *more]))


def _head(found: Planned, uid: str, nickname: str) -> str:
    first = _first(found, uid)
    if first is None:
        return say("{nickname} need not be wound in this fortnight.", nickname=nickname)
    told = choicewords.first(found, uid, first, now(), zone())
    if uid in found.chosen:
        return say("You chose a round for {nickname}: {told}.", nickname=nickname, told=told)
    return say("{nickname} is planned for {told}.", nickname=nickname, told=told)
