"""Reminders of cues: each saying once, the end of a silence once."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.spread import Band
from tracker.reminders.cuefacts import CueFacts
from tracker.reminders.cueplan import CueToTell, plan_cues
from tracker.reminders.outbox import by_day
from tracker.reminders.reminder import CueReminder

NOW = datetime(2026, 11, 25, 10, tzinfo=UTC)
DAY = timedelta(days=1)
FACTS = CueFacts(
    nickname="Workshop spare", step="keep an eye", reason="fallen", probability=0.8, lost=Band(0.06, 0.12, 0.17), stops=3,
    going=41, since=NOW - 900 * DAY, serviced=True, threshold=0.1, least_h=None, interval_years=None, model="1",
)  # fmt: skip
RAISED = CueToTell("spare", "cue", 1, None, FACTS)
WORSE = replace(RAISED, ordinal=2, facts=replace(FACTS, step="service advised"))
SILENT = replace(RAISED, quiet_until=NOW + 90 * DAY)


def planned(cue: CueToTell | None, known: list[CueReminder], now: datetime = NOW) -> list[CueReminder]:
    return plan_cues(["spare"], {} if cue is None else {"spare": cue}, known, due_at=now, now=now)


def told(cue: CueToTell = RAISED) -> CueReminder:
    (reminder,) = planned(cue, [])
    return replace(reminder, state="due")


def test_a_cue_is_told_when_it_is_day_and_stays_worth_telling() -> None:
    (reminder,) = plan_cues(["spare"], {"spare": RAISED}, [], due_at=NOW + DAY, now=NOW)
    assert (reminder.kind, reminder.state, reminder.due_at) == ("cue", "planned", NOW + DAY)
    assert reminder.useful_until > NOW + 300 * DAY
    assert reminder.key == "cue/spare/cue/1"


@pytest.mark.parametrize(
    ("now", "told_at"),
    [
        ("2026-11-25T08:00Z", "2026-11-25T08:00Z"),
        ("2026-11-25T19:59Z", "2026-11-25T19:59Z"),
        ("2026-11-25T20:00Z", "2026-11-26T08:00Z"),
        ("2026-11-25T07:59Z", "2026-11-25T08:00Z"),
        ("2027-03-27T23:30Z", "2027-03-28T07:00Z"),
    ],
)
def test_nobody_is_told_of_a_cue_at_night(now: str, told_at: str) -> None:
    assert by_day(datetime.fromisoformat(now), ZoneInfo("Europe/Berlin")) == datetime.fromisoformat(told_at)


def test_what_was_told_is_not_told_again() -> None:
    assert planned(RAISED, [told()]) == []


def test_until_it_is_told_it_is_brought_up_to_date() -> None:
    (waiting,) = planned(RAISED, [])
    renamed = replace(FACTS, nickname="Old spare")
    (changed,) = planned(replace(RAISED, facts=renamed), [waiting], NOW + DAY)
    assert changed == replace(waiting, facts=renamed)


def test_a_worse_step_is_told_and_ends_the_one_before() -> None:
    before, worse = planned(WORSE, [told()])
    assert (before.state, before.closed_by) == ("closed", "done")
    assert (worse.ordinal, worse.state) == (2, "planned")


def test_a_cleared_cue_lapses_or_is_withdrawn() -> None:
    (lapsed,) = planned(None, [told()])
    assert (lapsed.state, lapsed.closed_by) == ("closed", "lapsed")
    (withdrawn,) = planned(None, planned(RAISED, []))
    assert withdrawn.state == "withdrawn"


def test_silence_ends_what_was_told_and_is_told_when_it_is_over() -> None:
    before, after = planned(SILENT, [told()])
    assert (before.state, before.closed_by) == ("closed", "done")
    assert (after.state, after.due_at) == ("planned", NOW + 90 * DAY)
    assert planned(SILENT, [after], NOW + 91 * DAY) == []
    assert planned(SILENT, [replace(after, state="due")], NOW + 91 * DAY) == []


def test_silence_taken_back_tells_what_was_withdrawn() -> None:
    silenced = planned(SILENT, planned(RAISED, []))
    after, again = planned(RAISED, silenced)
    assert {(each.episode, each.state) for each in (after, again)} == {
        ("cue", "planned"),
        (SILENT.occasion[0], "withdrawn"),
    }


STATES = st.sampled_from([None, RAISED, WORSE, SILENT, replace(WORSE, quiet_until=NOW + 30 * DAY)])


@given(st.lists(st.tuples(STATES, st.booleans()), max_size=12))
def test_whatever_comes_one_reminder_at_most_is_open_and_none_is_told_twice(
    story: list[tuple[CueToTell | None, bool]],
) -> None:
    rows: dict[str, CueReminder] = {}
    tellings: list[str] = []
    for cue, bell in story:
        for change in planned(cue, list(rows.values())):
            rows[change.uid] = change
        assert planned(cue, list(rows.values())) == []
        still_open = [each for each in rows.values() if each.open]
        assert len(still_open) <= (cue is not None)
        for each in still_open if bell else []:
            if each.state == "planned":
                tellings.append(each.key)
                rows[each.uid] = replace(each, state="due")
    assert len(tellings) == len(set(tellings))
