"""Absences kept: the buttons of the page While away."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from flask import Blueprint, request
from sqlite_utils import Database
from werkzeug.wrappers import Response

from tracker import phrases
from tracker.commands.absence import DropAbsence, KeepAbsence
from tracker.commands.build import build
from tracker.staying import come_back
from tracker.store import absences
from tracker.web.request import back_to, change, now, store
from tracker.words import say

pages = Blueprint("absences", __name__)


@dataclass(frozen=True, slots=True)
class Kept:
    """An absence that is not over, in words; whether it has begun."""

    uid: str
    told: str
    begun: bool


def kept(db: Database, now: datetime, zone: ZoneInfo) -> list[Kept]:
    """The absences that are not over, the next first."""
    return [_kept(each, now, zone) for each in absences.ahead(db, now)]


def _kept(each: absences.Absent, now: datetime, zone: ZoneInfo) -> Kept:
    leave, back = (phrases.when(moment, now, zone) for moment in (each.away.leave, each.away.back))
    if each.away.holds(now):
        return Kept(
            each.uid, say("You are away, back {back}. Reminders stand still until then.", back=back), begun=True
        )
    told = say("Kept: you leave {leave}, back {back}. Reminders stand still meanwhile.", leave=leave, back=back)
    return Kept(each.uid, told, begun=False)


@pages.post("/away/keep")
def keep() -> Response:
    """Keep the absence that the page tells of."""
    form = request.form
    fields = {"uid": form.get("uid", ""), "leave": form.get("leave", ""), "back": form.get("back", "")}
    command = build(KeepAbsence, {**fields, "taken": form.getlist("with")})
    change([command], say("Kept. Reminders stand still while you are away; one message at your return."))
    return back_to("away.page")


@pages.post("/away/drop")
def drop() -> Response:
    """Not away then after all."""
    fields = {"uid": request.form.get("uid", ""), "absence_uid": request.form.get("absence_uid", "")}
    change([build(DropAbsence, fields)], say("Dropped: you are not away then."))
    return back_to("away.page")


@pages.post("/away/back")
def back() -> Response:
    """Back now, earlier than was kept."""
    change([come_back(store().reading(), now())], say("Welcome back. Reminders go on."))
    return back_to("away.page")
