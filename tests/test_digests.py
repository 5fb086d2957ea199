"""Digests of rounds from entries to messages: what is told, when, and what is not."""

from datetime import datetime

import pytest

from tests.belled import MINUTE, TODAY, UTC_ZONE, Bell, give, kept, rounds, wind
from tests.reminders.channels import ring_to
from tests.web.rounds import HOUR, NOW
from tracker.collection import owner
from tracker.commands.door import submit
from tracker.commands.log import LogWear
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.figures import MOST_READ
from tracker.reminders.reminder import reminder_from_row
from tracker.reminders.roundbox import waits_since
from tracker.reminders.roundplan import Wait
from tracker.store.rows import all_rows
from tracker.store.store import Store


@pytest.fixture(autouse=True)
def _in_utc(store: Store) -> None:
    give(store, NOW, ChangeSettings(zone="UTC"))


@pytest.fixture
def bell(store: Store) -> Bell:
    return Bell(store)


def test_a_round_is_told_at_its_time_with_what_is_to_be_wound(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - 24 * HOUR)
    kept(store, "Pier", NOW - 24 * HOUR, reach="only at", place="the cottage")
    bell.ring(NOW)
    assert bell.told == []
    bell.ring(TODAY)
    bell.ring(TODAY + MINUTE)
    (message,) = bell.told
    assert message.title == "Wind Night ferry and Pier"
    assert message.text == "At hand: Night ferry. Elsewhere: Pier."


def test_a_place_is_never_named(store: Store, bell: Bell) -> None:
    kept(store, "Pier", NOW - 24 * HOUR, reach="only at", place="the cottage")
    for moment in (NOW, TODAY):
        bell.ring(moment)
    assert "cottage" not in bell.told[0].title + bell.told[0].text


def test_what_is_wound_before_it_is_told_is_left_out_though_nobody_judged_anew(store: Store, bell: Bell) -> None:
    ferry, _pier = kept(store, "Night ferry", NOW - 24 * HOUR), kept(store, "Pier", NOW - 24 * HOUR)
    bell.ring(NOW)
    give(store, NOW + MINUTE, wind(ferry, NOW + MINUTE))
    while ring_to(store, TODAY, "http://x", UTC_ZONE, bell.send):
        pass
    assert bell.titles == ["Wind Pier"]


def test_with_all_wound_nothing_is_told(store: Store, bell: Bell) -> None:
    ferry = kept(store, "Night ferry", NOW - 24 * HOUR)
    bell.ring(NOW)
    give(store, NOW + MINUTE, wind(ferry, NOW + MINUTE))
    bell.ring(TODAY)
    assert bell.told == []
    assert rounds(store)[0].state == "withdrawn"


def test_it_closes_with_the_last_winding_and_comes_back_with_its_undo_without_a_message(
    store: Store, bell: Bell
) -> None:
    ferry = kept(store, "Night ferry", NOW - 24 * HOUR)
    for moment in (NOW, TODAY):
        bell.ring(moment)
    give(store, TODAY + 9 * MINUTE, wind(ferry, TODAY + 9 * MINUTE))
    assert (rounds(store)[0].state, rounds(store)[0].closed_by) == ("closed", "wound")
    give(store, TODAY + 10 * MINUTE, Undo())
    assert rounds(store)[0].state == "due"
    bell.ring(TODAY + 11 * MINUTE)
    assert bell.titles == ["Wind Night ferry"]


def test_a_correction_of_the_winding_before_is_no_winding(store: Store, bell: Bell) -> None:
    ferry = RegisterWatch(nickname="Night ferry", stated_reserve_h=40, habit="keep going")
    first = wind(ferry.uid, NOW - 24 * HOUR)
    give(store, NOW, ferry, first)
    for moment in (NOW, TODAY):
        bell.ring(moment)
    corrected = wind(ferry.uid, NOW - 23 * HOUR).model_copy(update={"replaces": first.uid})
    give(store, TODAY + MINUTE, corrected)
    assert rounds(store)[0].state == "due"


def test_one_that_is_put_away_is_no_longer_asked_for(store: Store, bell: Bell) -> None:
    ferry = kept(store, "Night ferry", NOW - 24 * HOUR)
    for moment in (NOW, TODAY):
        bell.ring(moment)
    give(store, TODAY + MINUTE, ArchiveWatch(watch_uid=ferry))
    bell.ring(TODAY + MINUTE)
    assert (rounds(store)[0].state, rounds(store)[0].closed_by) == ("closed", "lapsed")


def test_one_that_is_worn_is_not_asked_for(store: Store, bell: Bell) -> None:
    ferry = kept(store, "Night ferry", NOW - 24 * HOUR, wound_by="crown and rotor")
    give(store, NOW, LogWear(watch_uid=ferry, at=NOW, zone="UTC", act="put on"))
    for moment in (NOW, TODAY):
        bell.ring(moment)
    assert bell.told == []


def test_what_was_not_wound_is_named_in_the_next_round_and_the_digest_before_lapses(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - 24 * HOUR)
    for moment in (NOW, TODAY, TODAY + 24 * HOUR):
        bell.ring(moment)
    assert [each.title for each in bell.told if each.key.startswith("round")] == ["Wind Night ferry"] * 2
    assert [(each.state, each.closed_by) for each in rounds(store)[:2]] == [("closed", "lapsed"), ("due", None)]
    assert bell.told[-1].text == "At hand: Night ferry. Look first, it may have stopped: Night ferry."
    assert len(bell.told) == 2, "its last call, slept over, is not told beside it"


def test_a_last_call_does_not_fall_upon_the_digest_that_names_the_watch(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - 24 * HOUR)
    told = list[tuple[str, datetime]]()
    for quarter in range(4 * 14):
        moment = NOW + quarter * 15 * MINUTE
        bell.ring(moment)
        told += [(each.key.split("/")[0], moment) for each in bell.told[len(told) :]]
    assert [kind for kind, _ in told] == ["round", "last-call"]
    assert told[1][1] >= told[0][1] + HOUR


@pytest.mark.parametrize(
    ("wound_before_h", "at_round"),
    [(12.0, True), (1.0, False)],
    ids=["half the time is over", "wound an hour ago: at the owner's notice"],
)
def test_a_watch_that_rounds_cannot_keep_is_called_for_at_the_last_round_before(
    store: Store,
    wound_before_h: float,
    at_round: bool,  # noqa: FBT001 -- a column of the table
) -> None:
    saturday = datetime(2026, 11, 28, 9, 0, tzinfo=NOW.tzinfo)
    weekend = ChangeSettings(zone="UTC", rounds_on_weekdays=(), rounds_at_weekends=("09:00",))
    short = RegisterWatch(nickname="Short", stated_reserve_h=24, habit="keep going")
    give(store, saturday, weekend, short, wind(short.uid, saturday - wound_before_h * HOUR))
    (row,) = all_rows(store.reading(), "SELECT * FROM reminder WHERE kind = 'last call'")
    called = reminder_from_row(row)
    assert called.due_at == (saturday if at_round else called.facts.wind_by - 3 * HOUR)


def test_a_machine_that_slept_over_the_round_tells_it_when_it_wakes(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - 24 * HOUR)
    bell.ring(NOW)
    bell.ring(TODAY + 3 * HOUR)
    assert bell.titles[0] == "Wind Night ferry"
    assert len([each for each in bell.told if each.key.startswith("round")]) == 1


def test_a_machine_that_was_off_tells_late_what_cannot_wait_for_the_next_round(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - 24 * HOUR)
    kept(store, "Pier", NOW - 2 * HOUR)
    bell.ring(TODAY + 3 * HOUR)
    assert [each.title for each in bell.told if each.key.startswith("round")] == ["Wind Night ferry"]


def test_a_last_call_that_was_slept_over_is_told_late_though_the_digest_named_the_watch(
    store: Store, bell: Bell
) -> None:
    kept(store, "Night ferry", NOW - 24 * HOUR)
    for moment in (NOW, TODAY, TODAY + 10 * HOUR):
        bell.ring(moment)
    assert [each.key.split("/")[0] for each in bell.told] == ["round", "last-call"]
    assert "may have stopped today" in bell.told[1].text


def test_a_start_late_in_the_day_calls_for_nothing_that_was_wound_in_the_morning(store: Store, bell: Bell) -> None:
    kept(store, "Short", NOW, stated_reserve_h=16)
    bell.ring(TODAY + HOUR)
    assert bell.told == []


def test_the_digest_waits_for_the_owners_habit(store: Store, bell: Bell) -> None:
    ferry = kept(store, "Night ferry", NOW - 14 * 24 * HOUR + 25 * MINUTE)
    give(store, NOW, *(wind(ferry, NOW - day * 24 * HOUR + 25 * MINUTE) for day in range(1, 14)))
    bell.ring(NOW)
    (planned,) = rounds(store)
    assert planned.facts.at == TODAY
    assert TODAY + 20 * MINUTE <= planned.due_at < TODAY + HOUR


def test_what_was_told_is_held_against_the_habit_that_it_makes(store: Store, bell: Bell) -> None:
    ferry = kept(store, "Night ferry", NOW - 14 * 24 * HOUR + 25 * MINUTE)
    give(store, NOW, *(wind(ferry, NOW - day * 24 * HOUR + 25 * MINUTE) for day in range(1, 14)))
    bell.ring(NOW)
    (planned,) = rounds(store)
    assert waits_since(store.reading(), NOW) == []
    bell.ring(planned.due_at)
    assert waits_since(store.reading(), NOW) == [Wait(TODAY, planned.due_at, planned.useful_until)]
    assert waits_since(store.reading(), planned.useful_until) == []


def test_quiet_hours_keep_a_digest_out_of_the_night(store: Store, bell: Bell) -> None:
    give(store, NOW, ChangeSettings(zone="UTC", quiet_from="07:00", quiet_to="08:00"))
    kept(store, "Night ferry", NOW - 24 * HOUR)
    bell.ring(NOW)
    assert rounds(store)[0].due_at == TODAY.replace(hour=8, minute=0)


def test_a_calendar_that_was_just_wound_is_not_named_because_the_round_is_open_anyway(store: Store, bell: Bell) -> None:
    almanac = kept(store, "Almanac", NOW - 24 * HOUR, stake="calendar", stated_reserve_h=72)
    kept(store, "Night ferry", NOW - 24 * HOUR)
    bell.ring(NOW)
    assert [each.nickname for each in rounds(store)[0].facts.named] == ["Almanac", "Night ferry"]
    give(store, NOW + MINUTE, wind(almanac, NOW + MINUTE))
    bell.ring(TODAY)
    assert bell.titles == ["Wind Night ferry"]


def test_no_watch_leaves_a_round_for_another_having_been_wound_early_for_it(store: Store, bell: Bell) -> None:
    ferry = kept(store, "Night ferry", NOW - 24 * HOUR)
    kept(store, "Pier", NOW - 12 * HOUR, stated_reserve_h=72)
    bell.ring(NOW)
    before = [each.nickname for each in rounds(store)[0].facts.named]
    give(store, NOW + MINUTE, wind(ferry, NOW + MINUTE))
    bell.ring(NOW + 2 * MINUTE)
    assert [each.nickname for each in rounds(store)[0].facts.open] == [name for name in before if name != "Night ferry"]


def test_a_winding_whose_figures_are_still_to_come_is_a_winding(store: Store, bell: Bell) -> None:
    uids = [kept(store, f"No {number}", NOW - 24 * HOUR) for number in range(MOST_READ + 2)]
    bell.ring(NOW)
    early = NOW + MINUTE
    submit(store, [wind(uid, early) for uid in uids], owner(store, "page", early), then=lambda *_: None)
    bell.ring(TODAY)
    assert bell.told == []


def test_many_names_are_counted_in_the_title(store: Store, bell: Bell) -> None:
    for number in range(6):
        kept(store, f"No {number}", NOW - 24 * HOUR)
    for moment in (NOW, TODAY):
        bell.ring(moment)
    assert bell.titles == ["Wind No 0, No 1, No 2 and three more"]
