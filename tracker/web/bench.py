"""The Bench page: what is on the bench, and when is it looked at next?"""

from collections.abc import Mapping
from dataclasses import replace

from flask import Blueprint, render_template, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from tracker.bench import OnTest, due_readings, ended_lately, of_test, on_test
from tracker.commands.base import Command
from tracker.commands.benchtest import EndTest, StartTest
from tracker.commands.build import build
from tracker.commands.log import LogSighting, LogWind
from tracker.core.benchtest import BenchTest
from tracker.core.watch import Watch
from tracker.core.when import said
from tracker.errors import BadInput, NotFound, Rejected
from tracker.figures import Figures
from tracker.store import benchtests, register
from tracker.store.cues import open_cues
from tracker.uids import new_uid, uid_of
from tracker.web import benchwords
from tracker.web.board import Board, board, row
from tracker.web.forms import Answer, Form, by_field, form_page, values_of
from tracker.web.moment import moment_of
from tracker.web.request import back_to, change, now, store, zone
from tracker.words import say

pages = Blueprint("bench", __name__)


@pages.get("/bench")
def page() -> str:
    """The tests that go on, those that ended, and what else waits for the bench."""
    return _show(MultiDict(), {})


def _show(form: Form, problems: Mapping[str, str]) -> str:
    db, watches = store().reading(), register.watches(store().reading())
    tests = on_test(store(), now(), zone())
    cues = open_cues(db, [watch.uid for watch in watches])
    under = {one.test.watch_uid for one in tests}
    return render_template(
        "bench.html",
        head=benchwords.first_line(tests, now(), zone()),
        tests=[(one, _drawn(one)) for one in tests],
        ended=list(ended_lately(store(), now())),
        due=[(watch, benchwords.due(told)) for watch, told in due_readings(store(), watches, now(), zone())],
        cued=[watch for watch in watches if watch.uid in cues],
        customers=[watch for watch in watches if watch.customers and not watch.gone_out and watch.uid not in under],
        words=benchwords,
        key=form.get("key") or new_uid(now()),
        key_of=uid_of,
        form=form,
        problems=problems,
        now=now(),
        zone=zone(),
    )


def _drawn(one: OnTest) -> Board | None:
    if one.state != "going" or not isinstance(one.each, Figures):
        return None
    return replace(board([], [], now(), zone()), rows=[row(one.each, now(), zone())])


def _test(uid: str) -> BenchTest:
    test = benchtests.bench_test(store().reading(), uid)
    if test is None:
        raise NotFound(say("There is no such test, or no longer."))
    return test


@pages.post("/bench/<uid>/look")
def look(uid: str) -> Response | tuple[str, int]:
    """Note what was seen at a look; what can't be taken brings the page back as it was filled in."""
    test = _test(uid)
    try:
        change(_look(of_test(store(), test, now(), zone()), request.form), say("Noted."))
    except (BadInput, Rejected) as error:
        shown_as = {"shown": f"shown-{uid}", "shown_date": f"date-{uid}"}
        return _show(request.form, by_field(error, shown_as)), error.status
    return back_to("bench.page")


def _look(one: OnTest, form: Form) -> list[Command]:
    """The sighting; a stop of which nothing more can be read ends the test."""
    test, at = one.test, said("now", "", now(), zone())
    seen = "stopped" if form.get("do") == "stopped" else "going"
    fields = {
        "uid": uid_of(form.get("key", ""), test.uid, seen),
        "watch_uid": test.watch_uid,
        "at": at.at,
        "zone": at.zone_name,
        "within_min": at.within_min,
        "seen": seen,
    }
    if seen == "stopped":
        fields |= {"shown": form.get(f"shown-{test.uid}", ""), "shown_date": form.get(f"date-{test.uid}", "")}
    sighting = build(LogSighting, fields)
    if seen == "going" or sighting.shown or one.reads_hands or one.ended is not None:
        return [sighting]
    return [sighting, build(EndTest, {"uid": uid_of(sighting.uid, "end"), "test_uid": test.uid, "how": "stop seen"})]


@pages.post("/bench/<uid>/end")
def end(uid: str) -> Response | tuple[str, int]:
    """End a test: its stop is known, or it is broken off for a reason."""
    test, form = _test(uid), request.form
    fields = {"how": form.get("how", "broken off"), "reason": form.get(f"reason-{uid}", "")}
    try:
        change(
            [build(EndTest, {**fields, "uid": uid_of(form.get("key", ""), uid, "end"), "test_uid": test.uid})],
            say("The test is over."),
        )
    except (BadInput, Rejected) as error:
        return _show(form, by_field(error, {"reason": f"reason-{uid}"})), error.status
    return back_to("bench.page")


@pages.route("/bench/begin/<uid>", methods=["GET", "POST"])
def begin(uid: str) -> Answer:
    """Begin a test of this watch with a full wind."""
    watch = register.watch(store().reading(), uid)
    if watch is None:
        raise NotFound(say("There is no such watch, or no longer."))
    return form_page(
        "benchbegin.html",
        lambda form: _begin(form, watch),
        fresh={"occasion": "in between", "position": "", "found": "not noticed", "when": "now", "set": "yes"},
        shown_as={"at": "when"},
        watch=watch,
        words=benchwords,
    )


def _begin(form: Form, watch: Watch) -> Response:
    at = moment_of(form, now(), zone())
    wind = {
        **values_of(form, ["found", "shown", "shown_date"], flags=["date_set"]),
        "uid": uid_of(form.get("uid", ""), "wind"),
        "watch_uid": watch.uid,
        "at": at.at,
        "zone": at.zone_name,
        "within_min": at.within_min,
        "hands": "set now" if form.get("set") else "unknown",
    }
    wound = build(LogWind, wind)
    test = values_of(form, ["uid", "occasion", "position", "note"])
    begun = build(StartTest, {**test, "watch_uid": watch.uid, "wind_uid": wound.uid})
    change([wound, begun], say("Wound, and under test: {nickname}.", nickname=watch.nickname))
    return back_to("bench.page")
