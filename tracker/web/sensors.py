"""The Sensors pages: is everything heard? And what one sensor told."""

from contextlib import closing
from datetime import timedelta

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from sensors.kinds import Level
from sensors.sensor import Sensor
from sensors.thresholds import Learned, NotApart, learn
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
from tracker.errors import BadInput, BadMoment, NotFound
from tracker.plots.readings import Told, readings
from tracker.store import register
from tracker.store import sensors as shelf
from tracker.store.sensed import reading as sensed
from tracker.store.sensed.migrations import FILE_NAME, open_sensed
from tracker.store.sensed.reading import Condition, Heard, Rejection
from tracker.uids import new_uid
from tracker.web import broker, pictures, safety, sensorview
from tracker.web.behind import behind
from tracker.web.forms import Form, version_of
from tracker.web.moment import moment_of
from tracker.web.request import back_to, change, now, store, zone
from tracker.words import say

pages = Blueprint("sensors", __name__)

DAYS = {"1": 1, "7": 7, "30": 30, "365": 365}
"""Over how many days a sensor's page may look back."""
REJECTED = 20
LEARN_MIN = 10
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
        self.rejected: list[Rejection] = []

    def read(self, sensors: list[Sensor], days: int | None = None) -> "Ears":
        """Of all these what they say now; with `days`, of the one all it told in that time."""
        folder = store().path.parent
        if not (folder / FILE_NAME).exists():
            return self
        now_s = now().timestamp()
        with closing(open_sensed(folder)) as file:
            db = file.reading()
            self.heard, self.condition = sensed.heard(db), sensed.health(db)
            for each in sensors:
                if each.kind == "winder":
                    self.says[each.uid] = sensorview.says_turns(sensed.turns(db, each.uid, now_s - DAY_S, now_s))
                else:
                    lost = sensorview.silent(each, self.heard.get(each.uid), now())
                    spans = sensed.spans(db, each.uid, now_s - 30 * DAY_S, now_s)
                    self.says[each.uid] = sensorview.says_rest(spans, now(), zone(), is_silent=lost)
                    self.gaps[each.uid] = sensorview.gaps_said(spans, each, now(), is_silent=lost)
            if days is not None:
                uid, since_s = sensors[0].uid, now_s - days * DAY_S
                raw = sensed.readings(db, uid, since_s, now_s)
                self.told = Told(
                    at_s=[each.at_s for each in raw],
                    values=[each.value for each in raw],
                    spans=sensed.spans(db, uid, since_s, now_s),
                    stops=sensed.stops(db, uid, since_s, now_s),
                    since=now() - timedelta(days=days),
                    until=now(),
                )
                self.rejected = sensed.rejected(db, uid, REJECTED)
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
        rows=sensorview.sorted_rows(rows),
        put_away=shelf.sensors(store().reading(), archived=True),
    )


@pages.get("/sensors/<uid>")
def one(uid: str) -> str:
    """One sensor: what it tells, what it told, and who lies there."""
    safety.allow_pictures()
    sensor, there = found(uid), _there()
    days = request.args.get("days", "7") if request.args.get("days", "7") in DAYS else "7"
    ears = Ears().read([sensor], DAYS[days])
    drawn = readings(sensor, ears.told, now(), zone()) if ears.told and sensor.kind == "rest" else None
    heard = ears.heard.get(uid)
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
        learned=_learned(sensor, ears, request.args),
        learns=sensor.kind == "rest" and isinstance(sensor.reports, Level),
        sensorview=sensorview,
        pictures=pictures,
        behind=behind,
        uid=new_uid(now()),
        now=now(),
        zone=zone(),
    )


def _learned(sensor: Sensor, ears: Ears, form: Form) -> Learned | NotApart | None:
    """Thresholds from the stretches named: ten minutes from each moment on; None where none are named."""
    if not isinstance(sensor.reports, Level) or ears.told is None or not (form.get("going") and form.get("quiet")):
        return None
    levels = []
    for name in ("going", "quiet"):
        try:
            since_s = written(form.get(name, ""), now(), zone()).at.timestamp()
        except NoMoment as error:
            raise BadMoment(error.why, error.said, zone=zone().key, choices=error.choices, field=name) from error
        pairs = zip(ears.told.at_s, ears.told.values, strict=True)
        levels.append([value for at_s, value in pairs if since_s <= at_s <= since_s + LEARN_MIN * 60])
    return learn(*levels)


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
def lay(uid: str) -> Response:
    """Note which watch lies there, or that none does."""
    sensor, form = found(uid), request.form
    when = moment_of(form, now(), zone())
    given = {"uid": form.get("uid", ""), "sensor_uid": uid, "at": when.at}
    if form.get("do") == "take off":
        change([build(TakeOffSensor, given)], say("Nothing lies on {sensor} any more.", sensor=sensor.name))
    elif form.get("again") or form.get("watch_uid"):
        change(
            [build(LayOnSensor, {**given, "watch_uid": form.get("again") or form.get("watch_uid")})],
            say("Noted who lies on {sensor}.", sensor=sensor.name),
        )
    else:
        raise BadInput(say("No watch is chosen."), field="watch_uid", accepted=say("Choose one."))
    return back_to("sensors.one", uid=uid)


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
