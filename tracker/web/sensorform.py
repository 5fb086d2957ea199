"""Setting a sensor up on a page: from the topics heard to a form that shows what each message reads as."""

from collections.abc import Callable
from typing import Any

from flask import Blueprint, render_template, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.sensor import SENSOR_FIELDS, AddSensor, EditSensor, LayOnSensor
from tracker.readingwords import shown
from tracker.store import register
from tracker.store import sensors as shelf
from tracker.uids import uid_of
from tracker.web import broker, sensorview
from tracker.web.forms import Answer, Form, form_page, version_of
from tracker.web.request import back_to, change, now, store
from tracker.web.sensors import found
from tracker.web.sensortried import FLAG, Way, filled, tried, ways
from tracker.words import say

pages = Blueprint("sensorform", __name__)

FRESH = {"kind": "rest", "written": "plain", "reports": "boolean", "expected_s": 60, "direction": "not known"}
LEAST_EXPECTED_S = 1.0


@pages.route("/sensors/topics", methods=["GET", "POST"])
def topics() -> str:
    """Which topics there are: listening around, on request."""
    if request.method == "POST":
        if request.form.get("do") == "stop":
            broker.stop_listening()
        else:
            broker.listen_around(request.form.get("prefix", ""))
    hearing = broker.hearing()
    every = hearing.topics() if hearing else []
    left_s = hearing.left_s if hearing else 0
    why = hearing.why if hearing else ""
    known = {each.topic for each in shelf.sensors(store().reading())}
    return render_template(
        "topics.html",
        can_hear=broker.settings() is not None,
        head=sensorview.topics_line(len(every), asked=hearing is not None, listening=left_s > 0, why=why),
        own=broker.own_way(),
        hearing=hearing,
        left_s=left_s,
        topics=every,
        known=known,
        sensorview=sensorview,
        shown=shown,
    )


@pages.route("/sensors/new", methods=["GET", "POST"])
def new() -> Answer:
    """Set a sensor up; `way` counts the ways to read its newest message."""
    topic = request.args.get("topic", "")
    every = ways(topic)
    chosen = min(max(request.args.get("way", 0, type=int), 0), max(len(every) - 1, 0))
    fresh = _proposed(topic, every[chosen : chosen + 1])
    return _shown(_add, fresh, {**_context(topic, fresh), "ways": every, "chosen": chosen})


@pages.route("/sensors/<uid>/edit", methods=["GET", "POST"])
def edit(uid: str) -> Answer:
    """Set a sensor up otherwise."""
    sensor, row = found(uid), shelf.sensor_row(store().reading(), uid)
    fresh = {name: row[name] for name in SENSOR_FIELDS} if row else {}
    fresh[FLAG] = bool(fresh.get(FLAG))
    context = _context(sensor.topic, fresh, uid)
    return _shown(lambda form: _edit(uid, form), fresh, {**context, "sensor": sensor, "version": sensor.version})


def _shown(save: Callable[[Form], Response], fresh: dict[str, object], context: dict[str, Any]) -> Answer:
    form = request.form
    if form.get("do") == "try":
        return render_template("sensorform.html", form=form, problems={}, uid=form.get("uid", ""), **context)
    return form_page("sensorform.html", save, fresh=fresh, **context)


@pages.post("/sensors/preview")
def preview() -> str:
    """What the set-up in the form makes of the messages heard; a fragment of the page."""
    uid = request.args.get("sensor", "")
    return render_template("sensorpreview.html", tried=tried(request.form, uid), can_hear=broker.settings() is not None)


def _context(topic: str, fresh: dict[str, object], sensor_uid: str = "") -> dict[str, Any]:
    form: Form = request.form if request.method == "POST" else MultiDict(_typed(fresh))
    return {
        "sensor": None,
        "version": "",
        "topic": topic,
        "tried": tried(form, sensor_uid),
        "can_hear": broker.settings() is not None,
        "watches": register.watches(store().reading()),
    }


def _typed(values: dict[str, object]) -> dict[str, str]:
    return {name: "" if value is None or value is False else str(value) for name, value in values.items()}


def _proposed(topic: str, way: list[Way]) -> dict[str, object]:
    """What the form opens with: one way to read what was heard of this topic, and how often it came."""
    fresh: dict[str, object] = dict(FRESH) | {"topic": topic, "name": " ".join(topic.split("/")[-2:])}
    for each in way:
        fresh |= each.fields
    hearing = broker.hearing()
    heard = next((each for each in hearing.topics() if each.topic == topic), None) if hearing else None
    rate = heard.per_min if heard else None
    if rate:
        fresh["expected_s"] = max(LEAST_EXPECTED_S, round(60.0 / rate))
    return fresh


def _add(form: Form) -> Response:
    added = build(AddSensor, {**filled(form), "uid": form.get("uid", "")})
    commands: list[Command] = [added]
    if form.get("watch_uid"):
        lain = {
            "uid": uid_of(added.uid, "lies"),
            "sensor_uid": added.uid,
            "watch_uid": form.get("watch_uid"),
            "at": now(),
        }
        commands.append(build(LayOnSensor, lain))
    change(commands, say("{name} is set up.", name=added.name))
    return back_to("sensors.one", uid=added.uid)


def _edit(uid: str, form: Form) -> Response:
    given = {**filled(form), "uid": form.get("uid", ""), "sensor_uid": uid, "version": version_of(form)}
    change([build(EditSensor, given)], say("Saved."))
    return back_to("sensors.one", uid=uid)
