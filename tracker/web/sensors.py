"""The Sensors pages: is everything heard? And what one sensor told."""

from contextlib import closing
from datetime import timedelta

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from sensors.kinds import Level
from sensors.rest import GAP_INTERVALS
from sensors.sensor import Sensor
from sensors.thresholds import LEAST_READINGS, Learned, NotApart, learn
from sensors.turns import Hour
from tracker import phrases
from tracker.commands.build import build
from tracker.commands.sensor import (
    SENSOR_FIELDS,
    ArchiveSensor,
    BringBackSensor,
    EditSensor,
    LayOnSensor,
    TakeOffSensor,
)
from tracker.core.when import NoMoment, written
from tracker.errors import BadInput, BadMoment, Conflict, NotFound, Rejected
from tracker.listening import ROLE
from tracker.plots.readings import Told, readings
from tracker.readingwords import shown
from tracker.reminders.role import is_held
from tracker.store import register
from tracker.store import sensors as shelf
from tracker.store.sensed import plight
from tracker.store.sensed import reading as sensed
from tracker.store.sensed.migrations import FILE_NAME, open_sensed
from tracker.store.sensed.reading import Condition, Heard, Rejection
from tracker.store.sensed.thinned import thinned
from tracker.uids import new_uid
from tracker.web import broker, pictures, safety, sensorview
from tracker.web.behind import behind
from tracker.web.forms import Answer, Form, by_field, version_of
from tracker.web.moment import moment_of
from tracker.web.request import back_to, change, now, store, zone
from tracker.web.turnsview import heads, turn_days
from tracker.words import say

pages = Blueprint("sensors", __name__)

DAYS = {"1": 1, "7": 7, "30": 30, "365": 365}
"""Over how many days a sensor's page may look back."""
REJECTED = 20
LEARN_S = 600.0
STRETCHES = ("going", "quiet")
DAY_S = 86_400.0


def found(uid: str) -> Sensor:
    """The sensor of this address.

    Raises:
        NotFound: there is none.
    """
    sensor = shelf.sensor(store().reading(), uid)
    if sensor is None:
        raise NotFound(say("There is no such sensor, or no longer."))
    return sensor


class Ears:
    """What was heard, read from sensors.db for one request; nothing where that file is not there yet."""

    def __init__(self) -> None:
        self.heard: dict[str, Heard] = {}
        self.condition: Condition | None = None
        self.says: dict[str, str] = {}
        self.gaps: dict[str, str] = {}
        self.told: Told | None = None
        self.turned: list[Hour] = []
        self.rejected: list[Rejection] = []

    def read(self, sensors: list[Sensor], days: int | None = None) -> "Ears":
        """Of all these what they say now; with `days`, of the one all it told in that time."""
        folder = store().path.parent
        if not (folder / FILE_NAME).exists():
            return self
        now_s = now().timestamp()
        with closing(open_sensed(folder)) as file:
            db = file.reading()
            self.heard = sensed.heard(db)
            # One that was killed could not say so.
            self.condition = plight.newest(folder, sensed.health(db)) if is_held(folder, ROLE) else None
            for each in sensors:
                if each.kind == "winder":
                    self.says[each.uid] = sensorview.says_turns(sensed.turns(db, each.uid, now_s - DAY_S, now_s))
                else:
                    lost = sensorview.silent(each, self.heard.get(each.uid), now())
                    spans = sensed.spans(db, each.uid, now_s - 30 * DAY_S, now_s)
                    self.says[each.uid] = sensorview.says_rest(spans, now(), zone(), is_silent=lost)
                    self.gaps[each.uid] = sensorview.gaps_said(spans, each, now(), is_silent=lost)
            if days is not None and sensors[0].kind == "winder":
                self.turned = sensed.turns(db, sensors[0].uid, now_s - days * DAY_S, now_s)
            elif days is not None:
                uid, since_s = sensors[0].uid, now_s - days * DAY_S
                spans = sensed.spans(db, uid, since_s, now_s)
                gap_s = GAP_INTERVALS * sensors[0].expected_s
                few = thinned(db, uid, since_s, now_s, gap_s=gap_s, spans=spans)
                self.told = Told(
                    **few._asdict(),
                    spans=spans,
                    stops=sensed.stops(db, uid, since_s, now_s),
                    since=now() - timedelta(days=days),
                    until=now(),
                )
            if days is not None:
                self.rejected = sensed.rejected(db, sensors[0].uid, REJECTED)
        return self


def _there() -> dict[str, str]:
    """By sensor, the nickname of the watch that lies there now."""
    db = store().reading()
    names = {watch.uid: watch.nickname for watch in register.every_watch(db)}
    stays = {stay.sensor_uid: stay.watch_uid for stay in shelf.assignments(db) if stay.to_s is None}
    return sensorview.watches_there(stays, names)


@pages.get("/sensors")
def page() -> str:
    """Every sensor in use."""
    every, there = shelf.sensors(store().reading()), _there()
    ears = Ears().read(every)
    rows = [
        sensorview.row(
            each,
            ears.heard.get(each.uid),
            now(),
            zone(),
            says=ears.says.get(each.uid, say("not known")),
            watch=there.get(each.uid, ""),
            gaps=ears.gaps.get(each.uid, ""),
        )
        for each in every
    ]
    return render_template(
        "sensors.html",
        head=sensorview.first_line(rows),
        condition=sensorview.condition(ears.condition, now(), zone(), own_broker=broker.is_own()),
        can_hear=broker.settings() is not None,
        own=broker.own_way(),
        rows=sensorview.sorted_rows(rows),
        put_away=shelf.sensors(store().reading(), archived=True),
    )


@pages.get("/sensors/<uid>")
def one(uid: str) -> str:
    """One sensor: what it tells, what it told, and which watch lies on it."""
    sensor = found(uid)
    learned, problems = _learned(sensor, request.args)
    return _page_of(sensor, problems, learned)


def _page_of(sensor: Sensor, problems: dict[str, str], learned: Learned | NotApart | None = None) -> str:
    """Its page, with what can't be taken by the fields that were filled."""
    safety.allow_pictures()
    uid, there = sensor.uid, _there()
    days = request.args.get("days", "7") if request.args.get("days", "7") in DAYS else "7"
    ears = Ears().read([sensor], DAYS[days])
    drawn = readings(sensor, ears.told, now(), zone()) if ears.told and sensor.kind == "rest" else None
    heard = ears.heard.get(uid)
    turned = turn_days(ears.turned, now(), zone(), DAYS[days]) if ears.turned else []
    names = {watch.uid: watch.nickname for watch in register.every_watch(store().reading())}
    stays = [stay for stay in reversed(shelf.assignments(store().reading(), sensor_uid=uid)) if stay.watch_uid in names]
    return render_template(
        "sensor.html",
        sensor=sensor,
        row=sensorview.row(
            sensor,
            heard,
            now(),
            zone(),
            says=ears.says.get(uid, say("not known")),
            watch=there.get(uid, ""),
            gaps=ears.gaps.get(uid, ""),
        ),
        heard=heard,
        rejected=ears.rejected,
        drawn=drawn,
        turned=turned,
        ways=heads(turned),
        days=days,
        choices=list(DAYS),
        stays=[
            (
                names[stay.watch_uid],
                sensorview.moment(stay.from_s),
                stay.to_s and sensorview.moment(stay.to_s),
                stay.watch_uid,
            )
            for stay in stays
        ],
        watches=register.watches(store().reading()),
        learned=learned,
        problems=problems,
        form=request.form,
        learn_for=phrases.length(_learn_s(sensor) / 3600.0),
        learns=sensor.kind == "rest" and isinstance(sensor.reports, Level),
        sensorview=sensorview,
        shown=shown,
        pictures=pictures,
        behind=behind,
        uid=new_uid(now()),
        now=now(),
        zone=zone(),
    )


Learning = tuple[Learned | NotApart | None, dict[str, str]]


def _learned(sensor: Sensor, form: Form) -> Learning:
    """Thresholds from the stretches named, or a sentence by each field that is wrong."""
    if not isinstance(sensor.reports, Level) or not any(name in form for name in STRETCHES):
        return None, {}
    began: dict[str, float] = {}
    problems: dict[str, str] = {}
    for name in STRETCHES:
        try:
            began[name] = _began_s(name, form.get(name, ""))
        except BadInput as error:
            problems[name] = error.sentence
    if problems:
        return None, problems
    return learn(*_levels(sensor, list(began.values()))), {}


def _learn_s(sensor: Sensor) -> float:
    """How long it must be heard each way: ten minutes, or longer if it sends too seldom to tell enough in that time."""
    return max(LEARN_S, (LEAST_READINGS + 1) * sensor.expected_s)


def _began_s(field: str, typed: str) -> float:
    if not typed.strip():
        raise BadInput(say("No time is given."), field=field, accepted=say("Say when that began."))
    try:
        began = written(typed, now(), zone()).at
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=zone().key, choices=error.choices, field=field) from error
    if began > now():
        raise BadInput(say("This time lies in the future."), field=field, accepted=say("Give one that is past."))
    return began.timestamp()


def _levels(sensor: Sensor, began_s: list[float]) -> list[list[float]]:
    """What was heard in that time from each of these moments on."""
    folder = store().path.parent
    if not (folder / FILE_NAME).exists():
        return [[] for _ in began_s]
    with closing(open_sensed(folder)) as file:
        stretches = [sensed.readings(file.reading(), sensor.uid, each, each + _learn_s(sensor)) for each in began_s]
    return [[reading.value for reading in stretch] for stretch in stretches]


@pages.post("/sensors/<uid>/thresholds")
def thresholds(uid: str) -> Response:
    """Take over thresholds that were learned."""
    row = shelf.sensor_row(store().reading(), uid)
    if row is None:
        raise NotFound(say("There is no such sensor, or no longer."))
    fields = {name: row[name] for name in SENSOR_FIELDS} | {
        "sensor_uid": uid, "uid": request.form.get("uid", ""), "upper": request.form.get("upper"), "lower": request.form.get("lower"),
    }  # fmt: skip
    change([build(EditSensor, fields)], say("Thresholds taken over."))
    return back_to("sensors.one", uid=uid)


@pages.post("/sensors/<uid>/lay")
def lay(uid: str) -> Answer:
    """Note which watch lies there, or that none does; what can't be noted brings its page back with why."""
    sensor = found(uid)
    try:
        _lay(sensor, request.form)
    except (BadInput, Rejected, Conflict) as error:
        return _page_of(sensor, by_field(error, {"at": "when", "watch_uid": "watch"})), error.status
    return back_to("sensors.one", uid=uid)


def _lay(sensor: Sensor, form: Form) -> None:
    uid = sensor.uid
    when = moment_of(form, now(), zone())
    given = {"uid": form.get("uid", ""), "sensor_uid": uid, "at": when.at}
    if form.get("do") == "take off":
        change([build(TakeOffSensor, given)], say("Nothing lies on {sensor} any more.", sensor=sensor.name))
    elif form.get("again") or form.get("watch_uid"):
        change(
            [build(LayOnSensor, {**given, "watch_uid": form.get("again") or form.get("watch_uid")})],
            say("Noted which watch lies on {sensor}.", sensor=sensor.name),
        )
    else:
        raise BadInput(say("No watch is chosen."), field="watch_uid", accepted=say("Choose one."))


@pages.post("/sensors/<uid>/archive")
def archive(uid: str) -> Response:
    """Put a sensor away, or bring it back."""
    sensor, form = found(uid), request.form
    given = {"uid": form.get("uid", ""), "sensor_uid": uid, "version": version_of(form)}
    if sensor.archived:
        change([build(BringBackSensor, given)], say("{sensor} is listened to again.", sensor=sensor.name))
    else:
        change([build(ArchiveSensor, given)], say("{sensor} is put away.", sensor=sensor.name))
    return back_to("sensors.one" if sensor.archived else "sensors.page", **({"uid": uid} if sensor.archived else {}))
