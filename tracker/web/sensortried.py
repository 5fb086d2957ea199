"""What the form of a sensor makes of the messages heard, and the ways in which they could be read."""

from contextlib import closing
from typing import Any, NamedTuple

from sensors.guess import Guess, guesses
from sensors.kinds import Boolean, Kind
from sensors.payload import Form as ReadBy
from sensors.pointer import pointer
from sensors.topics import matches
from sensors.winder import Reports
from tracker.commands.build import build
from tracker.commands.sensor import OF_REST, SENSOR_FIELDS, AddSensor
from tracker.errors import BadInput, Rejected
from tracker.readingwords import reading_said, shown
from tracker.store import sensors as shelf
from tracker.store.sensed import reading as sensed
from tracker.store.sensed.migrations import FILE_NAME, open_sensed
from tracker.web import broker, sensorview
from tracker.web.forms import Form, values_of
from tracker.web.request import now, store, zone
from tracker.web.sensorview import Tried
from tracker.words import say

FLAG = "restarts_at_zero"
TRIED = 5
"""So many messages are tried, the newest."""
MOST_WAYS = 12
KEPT_WHOLE = 256
"""Of a longer message only the beginning was kept."""
UID = "00000000-0000-8000-8000-000000000000"
"""Stands for a name where a set-up is only tried."""
READING = (
    "written", "value_at", "time_at", "direction_at", "record", "going_words", "stopped_words", "clockwise_words",
    "anticlockwise_words", "reports", "direction",
)  # fmt: skip
ENOUGH = {"upper": 1, "lower": 0, "turns_per_min": 1, "above_w": 0}
"""Stand in for what is not asked to read a message."""
TAKING = ("upper", "lower", "vibrations_per_hour", "tolerance", "window_s", "turns_per_min", "above_w")
"""What says for what a reading is taken."""


class Way(NamedTuple):
    """A way to read the newest message: the fields it fills, where it looks, and what it finds there."""

    fields: dict[str, object]
    place: str
    finds: str


def messages(topic: str, sensor_uid: str = "") -> list[tuple[float, bytes]]:
    """The newest messages under a topic filter, the newest first, each with its arrival (s since 1970).

    Those heard around; if there are none, the last one that the listener kept of the sensor.
    """
    hearing = broker.hearing()
    around = hearing.topics() if hearing and topic else []
    found = [each for one in around if matches(topic, one.topic) for each in one.newest]
    return sorted(found, reverse=True)[:TRIED] or _last(sensor_uid)


def _last(sensor_uid: str) -> list[tuple[float, bytes]]:
    folder = store().path.parent
    if not sensor_uid or not (folder / FILE_NAME).exists():
        return []
    with closing(open_sensed(folder)) as file:
        heard = sensed.heard(file.reading()).get(sensor_uid)
    if heard is None or heard.arrived_s is None or len(heard.payload) >= KEPT_WHOLE:
        return []
    return [(heard.arrived_s, heard.payload)]


def ways(topic: str) -> list[Way]:
    """The ways to read the newest message of a topic, likeliest first, one for each place in it."""
    newest = messages(topic)[:1]
    found = [guess for arrived_s, payload in newest for guess in guesses(payload, arrived_s)]
    first: dict[tuple[tuple[str, ...], str], Guess] = {}
    for each in found:
        first.setdefault((each.form.value_at, each.form.record), each)
    return [_way(each) for each in first.values()][:MOST_WAYS]


def _way(guess: Guess) -> Way:
    form = guess.form
    reports = Boolean() if form.gives == "boolean" else None
    place = pointer(form.value_at) or form.record or say("the whole message")
    return Way(_fields(form), place, reading_said(guess.reading, reports, now(), zone()))


def _fields(form: ReadBy) -> dict[str, object]:
    return {
        "written": form.written,
        "value_at": pointer(form.value_at),
        "time_at": pointer(form.time_at) if form.time_at is not None else "",
        "record": form.record,
        "reports": "boolean" if form.gives == "boolean" else "level",
    }


def tried(form: Form, sensor_uid: str = "") -> list[Tried]:
    """What is read; the parts of the form that don't bear on reading need not be whole yet."""
    heard = messages(form.get("topic", ""), sensor_uid)
    if not heard:
        return []
    given = {name: value for name, value in asked(form).items() if name in READING}
    try:
        row = _row(form, {**given, **ENOUGH})
    except (Rejected, BadInput) as error:
        return [Tried(shown(heard[0][1], sensorview.SHOWN), "", error.sentence, good=False)]
    return sensorview.tried(heard, shelf.form_from_row(row), _reports(form, given), now(), zone())


def _row(form: Form, given: dict[str, object]) -> dict[str, Any]:
    """A sensor set up so, as its row would be."""
    stands_in = {"uid": UID, "kind": kind(form), "topic": "x", "name": "x", "expected_s": 60}
    command = build(AddSensor, {**given, **stands_in})
    return {name: getattr(command, name) for name in SENSOR_FIELDS}


def _reports(form: Form, given: dict[str, object]) -> Kind | Reports | None:
    """What the readings would be taken for; None while the form does not say it whole."""
    told = {name: value for name, value in filled(form).items() if name in TAKING}
    try:
        return shelf.reports_from_row({**_row(form, {**given, **told}), "watch_vph": None})
    except (Rejected, BadInput):
        return None


def kind(form: Form) -> str:
    """Rest sensor or winder channel: what it reports says so."""
    return "rest" if form.get("reports", "boolean") in OF_REST else "winder"


def asked(form: Form) -> dict[str, object]:
    """The fields of the form as typed."""
    return {
        **values_of(form, [name for name in SENSOR_FIELDS if name not in {FLAG, "kind"}], flags=[FLAG]),
        "kind": kind(form),
    }


def filled(form: Form) -> dict[str, object]:
    """The fields of a form; an empty one is the command's own default."""
    return {name: value for name, value in asked(form).items() if value != ""}
