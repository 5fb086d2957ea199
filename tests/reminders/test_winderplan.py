from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.reminders.message import winder_message
from tracker.reminders.reminder import WinderReminder, reminder_row, winder_from_row
from tracker.reminders.winderfacts import WinderFacts
from tracker.reminders.winderplan import plan_winders

NOW = datetime(2026, 11, 25, 20, 30, tzinfo=UTC)
MORNING = datetime(2026, 11, 26, 8, 0, tzinfo=UTC)
STILL = WinderFacts(
    nickname="Almanac",
    word="no turns",
    since=datetime(2026, 11, 24, 20, 0, tzinfo=UTC),
    a_day=None,
    stops_at=None,
    needs_a_day=650.0,
    way="both",
    whose="usual",
)


def planned(found: WinderFacts | None, known: list[WinderReminder], now: datetime = NOW) -> list[WinderReminder]:
    return plan_winders(["a"], {} if found is None else {"a": found}, known, due_at=MORNING, now=now)


def test_a_finding_is_told_in_the_morning_once() -> None:
    (told,) = planned(STILL, [])
    assert (told.due_at, told.state, told.episode) == (MORNING, "planned", "no turns 2026-11-24T20:00:00Z")
    assert planned(STILL, [told]) == []
    assert planned(STILL, [replace(told, state="due")]) == []


def test_one_that_would_have_stopped_by_then_is_told_at_once() -> None:
    (told,) = planned(replace(STILL, stops_at=MORNING - timedelta(hours=2)), [])
    assert told.due_at == NOW


def test_what_is_no_longer_true_is_withdrawn_before_it_was_told_and_lapses_after() -> None:
    (told,) = planned(STILL, [])
    assert planned(None, [told]) == [replace(told, state="withdrawn")]
    assert planned(None, [replace(told, state="due")]) == [replace(told, state="closed", closed_by="lapsed")]


def test_what_holds_again_stands_again_under_the_same_key() -> None:
    (told,) = planned(STILL, [])
    assert planned(STILL, [replace(told, state="withdrawn")]) == [told]
    lapsed = replace(told, state="closed", closed_by="lapsed")
    assert planned(STILL, [lapsed]) == [replace(told, state="due")]


def test_another_finding_takes_the_place_of_the_one_before() -> None:
    (told,) = planned(STILL, [])
    few = replace(STILL, word="too few turns", a_day=320.0)
    over, new = planned(few, [told])
    assert (over.state, new.facts) == ("withdrawn", few)


def test_a_reminder_survives_its_row() -> None:
    (told,) = planned(replace(STILL, stops_at=MORNING, a_day=3.5), [])
    assert winder_from_row(reminder_row(told, NOW)) == told


def test_it_says_since_when_and_by_the_nickname_alone() -> None:
    (told,) = planned(STILL, [])
    said = winder_message(told, NOW, ZoneInfo("Europe/Berlin"))
    assert said.title == "Almanac: its winder stands still"
    assert said.text.startswith("The winder of Almanac has made no turn since")


@settings(max_examples=80, deadline=None)
@given(st.lists(st.sampled_from([None, STILL, replace(STILL, word="too few turns", a_day=300.0)]), max_size=12))
def test_however_often_it_is_looked_at_no_finding_has_two_reminders(course: list[WinderFacts | None]) -> None:
    known: dict[str, WinderReminder] = {}
    for found in course:
        known |= {each.uid: each for each in planned(found, list(known.values()))}
        assert planned(found, list(known.values())) == []
        assert [each.facts for each in known.values() if each.open] == ([found] if found else [])
    assert len({each.episode for each in known.values()}) == len(known) <= 2
