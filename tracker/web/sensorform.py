"""Setting a sensor up on a page: from the topics heard to a form that shows what each message reads as."""

from typing import Any

from flask import Blueprint, render_template, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from sensors.guess import guesses
from sensors.kinds import Kind
from sensors.payload import Form as ReadBy
from sensors.pointer import pointer
from sensors.winder import Reports
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.sensor import SENSOR_FIELDS, AddSensor, EditSensor, LayOnSensor
from tracker.errors import BadInput, Rejected
from tracker.readingwords import shown
from tracker.store import register
from tracker.store import sensors as shelf
from tracker.uids import uid_of
from tracker.web import broker, sensorview
from tracker.web.forms import Answer, Form, form_page, values_of, version_of
from tracker.web.request import back_to, change, now, store, zone
from tracker.web.sensors import found
from tracker.words import say

pages = Blueprint("sensorform", __name__)

FRESH = {"kind": "rest", "written": "plain", "reports": "boolean", "expected_s": 60, "direction": "not known"}
FLAG = "restarts_at_zero"
LEAST_EXPECTED_S = 1.0
UID = "00000000-0000-8000-8000-000000000000"
"""Stands for a name where a set-up is only tried."""


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
    known = {each.topic for each in shelf.sensors(store().reading())}
    return render_template(
        "topics.html",
        can_hear=broker.settings() is not None,
        hearing=hearing,
        left_s=hearing.left_s if hearing else 0,
        topics=every,
        known=known,
        shown=shown,
    )


@pages.route("/sensors/new", methods=["GET", "POST"])
def new() -> Answer:
    """Set a sensor up."""
    topic = request.args.get("topic", "")
    return form_page("sensorform.html", _add, fresh=_proposed(topic), **_context(topic))


@pages.route("/sensors/<uid>/edit", methods=["GET", "POST"])
def edit(uid: str) -> Answer:
    """Set a sensor up otherwise."""
    sensor, row = found(uid), shelf.sensor_row(store().reading(), uid)
    fresh = {name: row[name] for name in SENSOR_FIELDS} if row else {}
    fresh[FLAG] = bool(fresh.get(FLAG))
    context = _context(sensor.topic)
    return form_page(
        "sensorform.html",
        lambda form: _edit(uid, form),
        fresh=fresh,
        **{**context, "sensor": sensor, "version": sensor.version},
    )


@pages.post("/sensors/preview")
def preview() -> str:
    """What the set-up in the form makes of the messages heard; a fragment of the page."""
    return render_template("sensorpreview.html", tried=_tried(request.form))


def _context(topic: str) -> dict[str, Any]:
    form: Form = request.form if request.method == "POST" else MultiDict(_typed(_proposed(topic)))
    return {
        "sensor": None,
        "version": "",
        "topic": topic,
        "tried": _tried(form),
        "watches": register.watches(store().reading()),
    }


def _typed(values: dict[str, object]) -> dict[str, str]:
    return {name: "" if value is None else str(value) for name, value in values.items()}


def _messages(topic: str) -> list[tuple[float, bytes]]:
    hearing = broker.hearing()
    return hearing.messages(topic) if hearing and topic else []


def _proposed(topic: str) -> dict[str, object]:
    """What the form opens with: the likeliest way to read what was heard of this topic."""
    fresh: dict[str, object] = dict(FRESH) | {"topic": topic, "name": " ".join(topic.split("/")[-2:])}
    messages = _messages(topic)
    ways = guesses(messages[0][1], messages[0][0]) if messages else []
    if ways:
        fresh |= _fields(ways[0].form)
    hearing = broker.hearing()
    heard = next((each for each in hearing.topics() if each.topic == topic), None) if hearing else None
    rate = heard.per_min if heard else None
    if rate:
        fresh["expected_s"] = max(LEAST_EXPECTED_S, round(60.0 / rate))
    return fresh


def _fields(form: ReadBy) -> dict[str, object]:
    return {
        "written": form.written,
        "value_at": pointer(form.value_at),
        "time_at": pointer(form.time_at) if form.time_at is not None else "",
        "record": form.record,
        "reports": "boolean" if form.gives == "boolean" else "level",
    }


def _tried(form: Form) -> list[sensorview.Tried]:
    """What the messages heard read as; the parts of the form that don't bear on reading need not be whole yet."""
    messages = _messages(form.get("topic", ""))
    if not messages:
        return []
    asked = _asked(form)
    given = {name: value for name, value in asked.items() if name in READING}
    try:
        row = _row(form, {**given, **ENOUGH})
    except (Rejected, BadInput) as error:
        return [sensorview.Tried(shown(messages[0][1]), "", error.sentence, good=False)]
    return sensorview.tried(messages, shelf.form_from_row(row), _reports(form, given), now(), zone())


def _row(form: Form, given: dict[str, object]) -> dict[str, Any]:
    """A sensor set up so, as its row would be."""
    stands_in = {"uid": UID, "kind": _kind(form), "topic": "x", "name": "x", "expected_s": 60}
    command = build(AddSensor, {**given, **stands_in})
    return {name: getattr(command, name) for name in SENSOR_FIELDS}


def _reports(form: Form, given: dict[str, object]) -> Kind | Reports | None:
    """What the readings would be taken for; None while the form does not say it whole."""
    told = {name: value for name, value in _filled(form).items() if name in TAKING}
    try:
        return shelf.reports_from_row({**_row(form, {**given, **told}), "watch_vph": None})
    except (Rejected, BadInput):
        return None


READING = (
    "written", "value_at", "time_at", "direction_at", "record", "going_words", "stopped_words", "clockwise_words",
    "anticlockwise_words", "reports", "direction",
)  # fmt: skip
ENOUGH = {"upper": 1, "lower": 0, "turns_per_min": 1, "above_w": 0}
"""Stand in for what is not asked to read a message."""
TAKING = ("upper", "lower", "vibrations_per_hour", "tolerance", "window_s", "turns_per_min", "above_w")
"""What says for what a reading is taken."""


def _kind(form: Form) -> str:
    return "rest" if form.get("reports", "boolean") in {"boolean", "level", "beats"} else "winder"


def _asked(form: Form) -> dict[str, object]:
    return {
        **values_of(form, [name for name in SENSOR_FIELDS if name not in {FLAG, "kind"}], flags=[FLAG]),
        "kind": _kind(form),
    }


def _filled(form: Form) -> dict[str, object]:
    """The fields of a form; an empty one is the command's own default."""
    return {name: value for name, value in _asked(form).items() if value != ""}


def _add(form: Form) -> Response:
    added = build(AddSensor, {**_filled(form), "uid": form.get("uid", "")})
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
    given = {**_filled(form), "uid": form.get("uid", ""), "sensor_uid": uid, "version": version_of(form)}
    change([build(EditSensor, given)], say("Saved."))
    return back_to("sensors.one", uid=uid)
