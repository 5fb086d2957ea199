"""Cues of a collection: raised by what was noted, told once, put off, cleared."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tests.derived import check_cache
from tests.reminders.channels import add
from tracker import cues, derive
from tracker.collection import preferences
from tracker.commands.base import Command, Who
from tracker.commands.cue import AcknowledgeCue
from tracker.commands.door import submit
from tracker.commands.log import LogReading, LogService, LogSighting, LogWind, VoidEntry
from tracker.commands.register import ArchiveWatch, BringBackWatch, EditWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.figures import collect
from tracker.reminders import outbox
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.store import channels
from tracker.store.store import Store
from tracker.uids import uid_of

DAY, HOUR = timedelta(days=1), timedelta(hours=1)
SERVICED = datetime(2024, 5, 1, 8, tzinfo=UTC)
SPARE = uid_of("spare")
MORNING = datetime(2026, 11, 25, 9, 25, tzinfo=UTC)


@pytest.fixture
def who(who: Who) -> Who:
    """The owner by day: nobody is told of a cue at night."""
    return replace(who, now=MORNING)


def _entry(kind: Any, name: str, at: datetime, **more: Any) -> Any:
    return kind(uid=uid_of(name), watch_uid=SPARE, at=at, zone="UTC", **more)


def _run(day: int, hours: float) -> Iterator[Command]:
    """Wound so many days after the service, seen going a quarter of an hour before its stop was seen."""
    at = SERVICED + day * DAY
    yield _entry(LogWind, f"w{day}", at)
    yield _entry(LogSighting, f"g{day}", at + hours * HOUR - HOUR / 4, seen="going")
    yield _entry(LogSighting, f"s{day}", at + hours * HOUR, seen="stopped")


def _runs(days: range, hours: float) -> list[Command]:
    return [entry for day in days for entry in _run(day, hours)]


WATCH = RegisterWatch(uid=SPARE, nickname="Workshop spare", stated_reserve_h=42)
BEGUN: list[Command] = [WATCH, _entry(LogService, "service", SERVICED), *_runs(range(5, 305, 20), 41)]
FALLEN = _runs(range(605, 705, 20), 35.5)
"""Lost some 13 %."""
FURTHER = _runs(range(805, 905, 8), 29)


@pytest.fixture
def falling(store: Store, who: Who) -> Store:
    submit(store, [ChangeSettings(zone="UTC"), *BEGUN], who)
    submit(store, FALLEN, who)
    return store


def _cues(store: Store) -> list[tuple[Any, ...]]:
    return (
        store.reading()
        .execute("SELECT step, cleared_by, quiet_until_utc IS NOT NULL FROM cue ORDER BY raised_utc, uid")
        .fetchall()
    )


def _said(store: Store) -> list[tuple[Any, ...]]:
    return store.reading().execute("SELECT why, step FROM cue_step ORDER BY at_utc, ordinal").fetchall()


def _reminders(store: Store) -> list[tuple[str, str]]:
    rows = store.reading().execute("SELECT state, due_utc FROM reminder WHERE kind = 'cue' ORDER BY due_utc, ordinal")
    return [(state, due[:10]) for state, due in rows.fetchall()]


def _told(store: Store, now: datetime) -> list[Message]:
    """What goes out by now."""
    messages = []
    way = channels.channels(store.reading())
    channel = way[0].uid if way else add(store, "first", "http://x")
    with store.change() as db:
        outbox.make_due(db, now)
        while (claim := outbox.claim(db, now, channel)) is not None:
            message = outbox.look_again(db, claim, now, ZoneInfo("UTC"))
            if message is not None:
                messages.append(message)
            outbox.settle(db, claim, Answer("sent"), now)
    return messages


def test_a_fall_raises_a_cue_with_its_evidence_and_tells_it_once(falling: Store, who: Who) -> None:
    assert _cues(falling) == [("keep an eye", None, 0)]
    assert _said(falling) == [("raised", "keep an eye")]
    (message,) = _told(falling, who.now)
    assert message.title == "Workshop spare: keep an eye on it"
    assert message.text.startswith("Workshop spare has lost about 1")
    assert "From 20 stops, since May 2024." in message.text
    assert _told(falling, who.now + DAY) == []
    check_cache(falling.path, who.now)


def test_working_out_anew_says_nothing_twice(falling: Store, who: Who) -> None:
    before = _cues(falling), _said(falling), _reminders(falling)
    for _ in range(2):
        derive.recompute(falling, who.now + HOUR)
    assert (_cues(falling), _said(falling), _reminders(falling)) == before


def test_before_the_fall_there_is_no_cue(store: Store, who: Who) -> None:
    submit(store, BEGUN, who)
    assert _cues(store) == []
    assert _reminders(store) == []


def test_further_fall_is_a_new_step_of_the_same_cue_and_is_told(falling: Store, who: Who) -> None:
    _told(falling, who.now)
    submit(falling, FURTHER, who)
    assert _cues(falling) == [("service advised", None, 0)]
    assert _said(falling) == [("raised", "keep an eye"), ("worse", "service advised")]
    (message,) = _told(falling, who.now)
    assert message.title == "Workshop spare: service advised"
    assert "That is probably more than 20 %." in message.text


def test_a_service_clears_it_and_closes_what_was_told(falling: Store, who: Who) -> None:
    _told(falling, who.now)
    submit(falling, [_entry(LogService, "service 2", SERVICED + 930 * DAY)], who)
    assert _cues(falling) == [("keep an eye", "service", 0)]
    assert [state for state, _ in _reminders(falling)] == ["closed"]


def test_the_evidence_undone_clears_it_before_anyone_was_told(falling: Store, who: Who) -> None:
    submit(falling, [Undo()], who)
    assert _cues(falling) == [("keep an eye", "evidence", 0)]
    assert [state for state, _ in _reminders(falling)] == ["withdrawn"]
    assert _told(falling, who.now) == []


def test_a_single_entry_taken_out_changes_nothing(falling: Store, who: Who) -> None:
    submit(falling, [VoidEntry(entry_uid=uid_of("w605"))], who)
    assert _cues(falling) == [("keep an eye", None, 0)]


def test_put_off_it_is_silent_and_asks_once_more_after_three_months(falling: Store, who: Who) -> None:
    submit(falling, [AcknowledgeCue(watch_uid=SPARE)], who)
    assert _cues(falling) == [("keep an eye", None, 1)]
    assert _reminders(falling) == [("withdrawn", "2026-11-25"), ("planned", "2027-02-25")]
    assert _told(falling, who.now + 80 * DAY) == []
    derive.recompute(falling, who.now + 80 * DAY)
    assert len(_told(falling, who.now + 95 * DAY)) == 1
    derive.recompute(falling, who.now + 96 * DAY)
    assert _told(falling, who.now + 97 * DAY) == []
    assert len(_said(falling)) == 1


def test_put_off_and_cleared_meanwhile_it_never_asks(falling: Store, who: Who) -> None:
    submit(falling, [AcknowledgeCue(watch_uid=SPARE, months=1)], who)
    submit(falling, [_entry(LogService, "service 2", SERVICED + 930 * DAY)], who)
    assert _told(falling, who.now + 40 * DAY) == []


def test_put_off_it_speaks_at_once_when_it_gets_worse(falling: Store, who: Who) -> None:
    submit(falling, [AcknowledgeCue(watch_uid=SPARE)], who)
    submit(falling, FURTHER, who)
    assert _cues(falling) == [("service advised", None, 0)]
    assert [message.title for message in _told(falling, who.now)] == ["Workshop spare: service advised"]
    assert _told(falling, who.now + 95 * DAY) == []


def test_putting_off_undone_tells_it_after_all(falling: Store, who: Who) -> None:
    submit(falling, [AcknowledgeCue(watch_uid=SPARE)], who)
    submit(falling, [Undo()], who)
    assert _cues(falling) == [("keep an eye", None, 0)]
    assert len(_told(falling, who.now)) == 1


def test_a_customers_watch_has_its_cue_but_nobody_is_reminded(store: Store, who: Who) -> None:
    customers = WATCH.model_copy(update={"job_number": "17"})
    submit(store, [customers, *BEGUN[1:], *FALLEN], who)
    assert _cues(store) == [("keep an eye", None, 0)]
    assert _reminders(store) == []


def test_a_watch_put_away_is_not_spoken_of_until_it_is_back(falling: Store, who: Who) -> None:
    submit(falling, [ArchiveWatch(watch_uid=SPARE)], who)
    assert _told(falling, who.now) == []
    submit(falling, [BringBackWatch(watch_uid=SPARE)], who)
    assert _cues(falling) == [("keep an eye", None, 0)]
    assert len(_told(falling, who.now)) == 1


def test_a_new_nickname_is_the_one_that_is_told(falling: Store, who: Who) -> None:
    submit(falling, [EditWatch(watch_uid=SPARE, nickname="Old spare", stated_reserve_h=42)], who)
    assert [message.title for message in _told(falling, who.now)] == ["Old spare: keep an eye on it"]


def test_raised_at_night_it_is_told_in_the_morning(store: Store, who: Who) -> None:
    night = replace(who, now=MORNING.replace(hour=23))
    submit(store, [ChangeSettings(zone="UTC"), *BEGUN, *FALLEN], night)
    assert _told(store, night.now) == []
    assert len(_told(store, night.now + 10 * HOUR)) == 1


def test_past_the_owners_years_the_same_fall_advises_a_service(falling: Store, who: Who) -> None:
    submit(falling, [ChangeSettings(zone="UTC", service_interval_years=2)], who)
    assert _said(falling)[-1] == ("worse", "service advised")
    assert "Its service is more than 2 years past, too." in _told(falling, who.now)[-1].text


def _timed(name: str, *degrees: float, days: int = 3, **more: Any) -> list[Command]:
    """Amplitudes after 24 h, lying flat."""
    told: dict[str, Any] = {"position": "CH", "since_wind_min": 1440, "lift_angle_deg": 50, **more}
    return [
        _entry(LogReading, f"{name}{n}", MORNING - days * DAY + n * HOUR / 6, amplitude_deg=each, **told)
        for n, each in enumerate(degrees)
    ]


def test_with_a_low_amplitude_after_24_h_the_same_fall_advises_a_service(falling: Store, who: Who) -> None:
    _told(falling, who.now)
    submit(falling, _timed("low", 204, 209), who)
    assert _said(falling) == [("raised", "keep an eye"), ("worse", "service advised")]
    (message,) = _told(falling, who.now)
    assert message.title == "Workshop spare: service advised"
    assert "Its amplitude after 24 h was low, too: 206° lying flat, from 2 readings; under 220° is low." in message.text
    check_cache(falling.path, who.now)


@pytest.mark.parametrize(
    ("degrees", "more"),
    [
        ((204, 209), {"lift_angle_deg": None}),
        ((204,), {}),
        ((240, 245), {}),
        ((204, 209), {"since_wind_min": 30}),
        ((204, 209), {"since_wind_min": None}),
        ((204, 209), {"position": "6H"}),
        ((204, 209), {"days": 1000}),
    ],
    ids=["lift angle assumed", "one reading", "not low", "at full wind", "wind not known", "hanging", "before service"],
)
def test_other_amplitudes_leave_the_cue_as_it_is(
    falling: Store, who: Who, degrees: tuple[float, ...], more: dict[str, Any]
) -> None:
    submit(falling, _timed("other", *degrees, **more), who)
    assert _said(falling) == [("raised", "keep an eye")]


def test_a_low_amplitude_alone_raises_nothing(store: Store, who: Who) -> None:
    submit(store, [*BEGUN, *_timed("low", 180, 182)], who)
    assert _cues(store) == []


def test_the_readings_taken_back_the_service_is_no_longer_advised(falling: Store, who: Who) -> None:
    submit(falling, _timed("low", 204, 209), who)
    submit(falling, [Undo()], who)
    assert _said(falling)[-1] == ("better", "keep an eye")


def test_a_lift_angle_entered_later_lets_the_amplitude_speak(falling: Store, who: Who) -> None:
    submit(falling, _timed("assumed", 204, 209, lift_angle_deg=None), who)
    submit(
        falling,
        [EditWatch(watch_uid=SPARE, nickname="Workshop spare", stated_reserve_h=42, lift_angle_deg=50)],
        who,
    )
    assert _cues(falling) == [("service advised", None, 0)]


def test_a_larger_threshold_clears_it(falling: Store, who: Who) -> None:
    submit(falling, [ChangeSettings(zone="UTC", fall_percent=30)], who)
    assert _cues(falling) == [("keep an eye", "evidence", 0)]


def test_judging_twice_is_judging_once(falling: Store, who: Who) -> None:
    found = collect(falling, who.now)
    with falling.change() as db:
        for _ in range(2):
            cues.judge(db, found, preferences(falling).values, who.now)
    assert len(_said(falling)) == len(_cues(falling)) == 1
