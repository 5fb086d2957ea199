"""The page Sum and observation of a watch: what it ought to last beside what it does, and which part is to blame."""

from flask import Blueprint
from sqlite_utils import Database
from werkzeug.wrappers import Response

from tracker import faultwords
from tracker.commands.build import build
from tracker.commands.sign import LogSign
from tracker.core.barrel.checked import Unfit
from tracker.core.barrel.kept import hours_of, missing
from tracker.core.barrel.sums import sums
from tracker.core.faults import WORDS, Sign
from tracker.core.watch import Watch
from tracker.faultsigns import kind_of, signs_of
from tracker.figures import Figures, look
from tracker.store import barrels, log
from tracker.store.moments import to_text
from tracker.store.readings import readings
from tracker.store.signs import noted_signs
from tracker.web import barrelways, sumview
from tracker.web.forms import Answer, Form, form_page
from tracker.web.request import back_to, change, line_for, now, store, zone
from tracker.web.reservewords import little_seen
from tracker.web.watch import found
from tracker.words import say

pages = Blueprint("sums", __name__)


@pages.route("/watch/<uid>/sum", methods=["GET", "POST"])
def page(uid: str) -> Answer:
    """Tell where sum and observation part, and the odds of each fault; note a sign."""
    watch = found(uid)
    line_for(uid)
    known = look(store(), uid, now())
    return form_page(
        "sums.html",
        lambda form: _save(form, uid),
        fresh={},
        watch=watch,
        seen=_view(watch, known if isinstance(known, Figures) else None),
        words=faultwords,
        every=WORDS,
        width=sumview.WIDTH,
    )


def _view(watch: Watch, each: Figures | None) -> sumview.View:
    db = store().reading()
    kept = barrels.barrel_of_watch(db, watch.uid)
    since = each.segment.since if each else None
    signs = signs_of(
        each,
        readings(db, [watch.uid]).get(watch.uid, []),
        _turns_counted(db, watch.uid, to_text(since) if since else ""),
        noted_signs(db, watch.uid, to_text(since) if since else ""),
    )
    seen_enough = each is not None and not little_seen(each)
    hours = sumview.Hours(
        calculated=_calculated(kept),
        baseline=each.estimate.baseline_h if each and seen_enough and each.segment.serviced else None,
        now=each.estimate.reserve_h if each and seen_enough else None,
    )
    return sumview.view(watch.nickname, hours, signs, kind_of(watch, kept.kept.alloy if kept else ""))


def _calculated(row: barrels.KeptRow | None) -> float | None:
    """The reserve by the sums; None where no going barrel is kept whole, or its strip does not fit."""
    if row is None or row.kept.works != "going barrel" or missing(row.kept) or hours_of(row.kept) is None:
        return None
    try:
        return float(sums(barrelways.present(row.kept)).reserve_h)
    except Unfit:
        return None


def _turns_counted(db: Database, uid: str, since_utc: str) -> list[float]:
    """Crown turns counted from stopped to full since the service, oldest first."""
    rows = [row for row in log.entry_rows(db, uid) if row["table"] == "winding" and row["at_utc"] >= since_utc]
    full = [row for row in rows if row["amount"] == "full" and row["found"] == "stopped" and row["crown_turns"]]
    return [row["crown_turns"] for row in reversed(full)]


def _save(form: Form, uid: str) -> Response:
    fields = {
        name: form.get(name, "") for name in ("uid", "sign", "word", "figure", "expected", "note") if name in form
    }
    command = build(LogSign, {**fields, "watch_uid": uid, "at": now(), "zone": zone().key})
    sign: Sign = command.sign
    change([command], say("Noted: {sign}.", sign=faultwords.sign(sign)))
    return back_to("sums.page", uid=uid)
