"""The bench as it stands: run-down tests that go on, with the looks to come, and those that ended, with what they found."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from typing import Literal, get_args
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.collection import preferences
from tracker.commands.settings import Settings
from tracker.core.benchhours import EVERY_DAY, BenchHours, possible_looks
from tracker.core.benchlooks import HandsTell, LookPlan, TestRun, likely_h, plan_looks
from tracker.core.benchtest import BenchTest
from tracker.core.readingsdue import Due, readings_due
from tracker.core.rundown import CurrentRun, RunDown
from tracker.core.watch import Watch, Weekday
from tracker.figures import Figures, Waiting, look
from tracker.store import benchtests, sensors
from tracker.store.heard import seats
from tracker.store.moments import from_text
from tracker.store.readings import readings
from tracker.store.register import watch
from tracker.store.services import services
from tracker.store.store import Store
from tracker.workedout import scale_h

HEARD_WITHIN = timedelta(hours=1)
"""A sensor that told within so long that a watch goes is taken to tell its stop."""
LAST_ENDED = 10
HOUR = timedelta(hours=1)
DAYS_ON = 4.0 * 24.0

State = Literal["going", "stopped", "no run"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTest:
    """A test that goes on, its watch as it stands, and the looks to come.

    `ended` is its run where it has ended by the log, `sensor` the name of a rest sensor that hears it and so needs no
    looks; `looks` are moments, each with the chance that it stands by then, none where none is planned.
    """

    test: BenchTest
    each: Figures | Waiting
    ended: RunDown | None = None
    sensor: str = ""
    plan: LookPlan | None = None
    looks: tuple[tuple[datetime, float], ...] = field(default=())

    @property
    def state(self) -> State:
        """Whether its run goes on as far as is known, has ended, or is not in the log."""
        if self.ended is not None:
            return "stopped"
        run = self.each.history.current
        return "going" if run is not None and run.wind_uid == self.test.wind_uid else "no run"

    @property
    def next_look(self) -> datetime | None:
        """When it is to be looked at next, or was; None where no look is needed."""
        return self.looks[0][0] if self.looks else None

    @property
    def reads_hands(self) -> bool:
        """Whether a stop can be read off its hands."""
        run = self.each.history.current
        return run is not None and run.hands is not None


def hours_of(settings: Settings) -> BenchHours:
    """When someone is at the bench; any day and hour of the clock where the owner left it open."""
    days = frozenset(get_args(Weekday).index(day) for day in settings.bench_days) or EVERY_DAY
    opens, closes = (time.fromisoformat(text) if text else None for text in (settings.bench_from, settings.bench_to))
    return BenchHours(days, opens or time(0), closes or time(23, 59))


def on_test(store: Store, now: datetime, zone: ZoneInfo) -> list[OnTest]:
    """Every test that goes on, the one to be looked at first at its head."""
    found = [of_test(store, test, now, zone) for test in benchtests.open_tests(store.reading())]
    return sorted(found, key=lambda one: (one.state == "going", one.next_look is None, one.next_look or now))


def of_test(store: Store, test: BenchTest, now: datetime, zone: ZoneInfo) -> OnTest:
    """One of them."""
    each = look(store, test.watch_uid, now)
    ended = run_of(test, each)
    run = each.history.current
    if ended is not None or run is None or run.wind_uid != test.wind_uid or isinstance(each, Waiting):
        return OnTest(test=test, each=each, ended=ended)
    sensor = _heard_by(store.reading(), each, now)
    hours = hours_of(preferences(store).values)
    plan, looks = (None, ()) if sensor else planned(each, run, hours, zone)
    return OnTest(test=test, each=each, sensor=sensor, plan=plan, looks=looks)


def run_of(test: BenchTest, each: Figures | Waiting) -> RunDown | None:
    """The run of a test, if it has ended."""
    return next((run for run in each.history.runs if run.wind_uid == test.wind_uid), None)


def planned(
    each: Figures, run: CurrentRun, hours: BenchHours, zone: ZoneInfo
) -> tuple[LookPlan | None, tuple[tuple[datetime, float], ...]]:
    """The looks to come at a run, counted from when it was last looked at: they move only when it is looked at again."""
    test = TestRun(each.estimate.next_run, scale_h(each.watch), run.seen_going_h, _hands(each.watch, run))
    until = run.started_at + (likely_h(test)[1] + DAYS_ON) * HOUR
    moments = possible_looks(hours, run.last_seen_at or run.started_at, until, zone)
    plan = plan_looks(test, tuple((moment - run.started_at) / HOUR for moment in moments))
    if plan is None:
        return None, ()
    return plan, tuple((run.started_at + one.hours * HOUR, one.stopped) for one in plan.looks)


def _hands(of: Watch, run: CurrentRun) -> HandsTell | None:
    if run.hands is None:
        return None
    shown = run.started_at + run.hands.offset
    return HandsTell(of.dial_hours, run.hands.dated is not None, shown.hour + shown.minute / 60.0)


def _heard_by(db: Database, each: Figures, now: datetime) -> str:
    """The name of the rest sensor that hears it going now; empty if none does."""
    last = each.history.last
    seated = {seat.sensor_uid for seat in seats(db, [each.watch.uid]).get(each.watch.uid, ()) if seat.until is None}
    if (
        not seated
        or last.state != "going"
        or last.since is None
        or now - last.since > HEARD_WITHIN
        or not last.by_sensor
    ):
        return ""
    return next((name for uid, name in sensors.lies_on(db, each.watch.uid) if uid in seated), "")


def ended_lately(store: Store, now: datetime) -> Iterator[tuple[BenchTest, Figures | Waiting, RunDown | None]]:
    """The tests that ended last, the newest first, with their runs as the log has them."""
    for test in benchtests.ended_tests(store.reading(), LAST_ENDED):
        if watch(store.reading(), test.watch_uid) is not None:
            each = look(store, test.watch_uid, now)
            yield test, each, run_of(test, each)


def due_readings(
    store: Store, watches: Sequence[Watch], now: datetime, zone: ZoneInfo
) -> Iterator[tuple[Watch, tuple[Due, ...]]]:
    """The watches of which timing readings are due, each with which."""
    db = store.reading()
    held = readings(db, [each.uid for each in watches])
    for each in watches:
        serviced = max((from_text(row["at_utc"]) for row in services(db, each.uid)), default=None)
        came_in = datetime.combine(each.came_in, time(), zone) if each.customers and each.came_in else None
        found = readings_due(held.get(each.uid, []), serviced, now, came_in_at=came_in)
        if found:
            yield each, found
