"""The Services page: which watch to open next, and why. And the answer to a cue."""

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from tracker import phrases, servicewords, winders, winderwords
from tracker.asked import threshold_of
from tracker.commands.build import build
from tracker.commands.cue import MONTHS_OF_SILENCE, AcknowledgeCue, months_on
from tracker.figures import survey
from tracker.store import register
from tracker.store.cues import open_cues
from tracker.uids import new_uid, uid_of
from tracker.web import pending, servicetable, serviceview
from tracker.web.request import back_to, change, line_for, now, preferences, store, zone
from tracker.words import say

pages = Blueprint("services", __name__)


@pages.get("/services")
def page() -> str:
    """The watches in order of need, and all of them in a table."""
    line, found = line_for(), survey(store(), now(), with_runs=False)
    settings, wanted = preferences().values, servicetable.wanted(request.args)
    threshold = servicewords.percent(threshold_of(settings))
    cues = open_cues(store().reading(), [each.watch.uid for each in found.known])
    subjects = serviceview.subjects(found.known, cues, settings, now())
    return render_template(
        "services.html",
        head=serviceview.first_line(subjects, now(), zone()),
        winders=winders.to_open(store().reading()),
        winderwords=winderwords,
        needing=serviceview.in_need(subjects),
        rows=servicetable.rows(subjects, wanted),
        headers=servicetable.headers(threshold),
        wanted=wanted,
        view=serviceview,
        cells=servicetable.cells,
        words=servicewords,
        lacking=pending.pending(found.waiting),
        line=line,
        asks=pending.asks(line),
        pending=pending,
        settings=settings,
        threshold=threshold,
        twice=servicewords.percent(2 * threshold_of(settings)),
        months=MONTHS_OF_SILENCE,
        key=new_uid(now()),
        key_of=uid_of,
        now=now(),
        zone=zone(),
    )


@pages.post("/services/<uid>/known")
def known(uid: str) -> Response:
    """I know: ask again later."""
    watch = register.watch(store().reading(), uid)
    command = build(AcknowledgeCue, {"uid": request.form.get("uid", ""), "watch_uid": uid})
    when = phrases.day(months_on(now(), command.months), now(), zone())
    change([command], say("{nickname} asks again {when}.", nickname=watch.nickname if watch else "", when=when))
    return back_to("services.page")
