"""A watch at rest that is to run now and then, from the register to the message."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.channels import ring_to
from tracker import runs
from tracker.collection import owner
from tracker.commands.base import Command
from tracker.commands.door import submit
from tracker.commands.log import LogWear, LogWind
from tracker.commands.register import EditWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings, Settings
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.runs import first_round
from tracker.store.rows import all_rows
from tracker.store.store import Store

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
DAY = timedelta(days=1)
MINUTE = timedelta(minutes=1)
CLOCK = RegisterWatch(nickname="Boathouse", habit="at rest", habit_every_days=30)


def give(store: Store, now: datetime, *commands: Command) -> None:
    submit(store, commands, owner(store, "page", now))


def told(store: Store, now: datetime) -> list[Message]:
    messages = list[Message]()

    def send(_address: str, message: Message) -> Answer:
        messages.append(message)
        return Answer("sent")

    runs.judge(store, now)
    ring_to(store, now, "http://x", ZoneInfo("UTC"), send)
    return messages


def open_ones(store: Store) -> list[tuple[str, str]]:
    rows = all_rows(
        store.reading(), "SELECT state, due_utc FROM reminder WHERE kind = 'run' AND state IN ('planned', 'due')"
    )
    return [(row["state"], row["due_utc"]) for row in rows]


def wind(at: datetime, **more: object) -> LogWind:
    return LogWind.model_validate({"watch_uid": CLOCK.uid, "at": at, "zone": "UTC", **more})


@pytest.fixture(autouse=True)
def _in_utc(store: Store) -> None:
    give(store, NOW, ChangeSettings(zone="UTC"))


def test_its_day_comes_so_many_days_after_it_last_ran_at_the_round_of_that_day(store: Store) -> None:
    give(store, NOW, CLOCK, wind(NOW))
    assert told(store, NOW) == []
    assert open_ones(store) == [("planned", "2026-12-25T07:30:00Z")]
    assert told(store, NOW + 30 * DAY) == []
    (message,) = told(store, NOW + 30 * DAY + 5 * MINUTE)
    assert message.title == "Let Boathouse run"
    assert message.text == "Boathouse is to run every 30 days; it was last wound or worn on 2026-11-25."
    assert told(store, NOW + 31 * DAY) == []


def test_without_a_number_of_days_nothing_reminds_of_a_run(store: Store) -> None:
    give(store, NOW, CLOCK.model_copy(update={"habit_every_days": None}), wind(NOW))
    assert told(store, NOW + 365 * DAY) == []


def test_of_a_watch_that_never_ran_its_first_run_is_told(store: Store) -> None:
    give(store, NOW, CLOCK)
    assert told(store, NOW) == []
    (message,) = told(store, NOW + 5 * MINUTE)
    assert message.text == "Boathouse is to run every 30 days; no run of it is noted."


def test_worn_it_has_run(store: Store) -> None:
    give(store, NOW, CLOCK, wind(NOW - 20 * DAY))
    give(store, NOW, LogWear(watch_uid=CLOCK.uid, at=NOW - DAY, zone="UTC", act="put on"))
    runs.judge(store, NOW)
    assert open_ones(store) == [("planned", "2026-12-24T07:30:00Z")]


def test_a_corrected_winding_is_the_same_run(store: Store) -> None:
    first = wind(NOW - 40 * DAY)
    give(store, NOW, CLOCK, first)
    assert len(told(store, NOW + 5 * MINUTE)) == 1
    give(store, NOW, wind(NOW - 39 * DAY, replaces=first.uid))
    assert told(store, NOW + 6 * MINUTE) == []
    assert [state for state, _ in open_ones(store)] == ["due"]


def test_wound_it_is_done(store: Store) -> None:
    give(store, NOW, CLOCK, wind(NOW - 40 * DAY))
    assert len(told(store, NOW + 5 * MINUTE)) == 1
    give(store, NOW + 10 * MINUTE, wind(NOW + 10 * MINUTE))
    assert told(store, NOW + 11 * MINUTE) == []
    assert open_ones(store) == [("planned", "2026-12-25T07:30:00Z")]


@pytest.mark.parametrize("more", [{"habit": "when worn"}, {"reach": "out of reach"}, {"job_number": "17"}])
def test_one_out_of_it_is_not_told_of(store: Store, more: dict[str, str]) -> None:
    give(store, NOW, CLOCK, wind(NOW - 40 * DAY))
    runs.judge(store, NOW)
    fields = CLOCK.model_dump(exclude={"uid"}) | more
    give(store, NOW, EditWatch.model_validate({"watch_uid": CLOCK.uid, **fields}))
    assert told(store, NOW + 5 * MINUTE) == []
    assert open_ones(store) == []


def test_on_a_day_without_rounds_it_is_told_by_day() -> None:
    weekdays_only = Settings(zone="Australia/Lord_Howe", rounds_at_weekends=())
    saturday = datetime(2026, 11, 28, 1, 0, tzinfo=UTC)  # 12:00 there
    assert first_round(saturday, weekdays_only) == saturday
    night = datetime(2026, 11, 27, 14, 0, tzinfo=UTC)  # 01:00 there
    assert first_round(night, weekdays_only) == datetime(2026, 11, 27, 22, 0, tzinfo=UTC)
