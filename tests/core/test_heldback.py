from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest

from tests.core.notes import log, read
from tracker.core.heldback import HABIT, Foreseen, Foresight, Held, held_back
from tracker.core.likelihood import Run
from tracker.core.rundown import run_downs
from tracker.core.segment import present_segment
from tracker.core.timeline import Entry, Sighting, Wind
from tracker.core.watch import Watch

POINT_H = 50.0
FORESEEN = Foreseen(40.0, POINT_H)
WATCH = Watch(uid="w", nickname="Night ferry")
SHORT = """
    2026-03-01 08:00  wound
    2026-03-03 04:00  stopped
"""
LONG = """
    2026-03-05 08:00  wound
    2026-03-06 08:00  seen going
    2026-03-07 18:00  seen going
    2026-03-07 20:00  stopped
"""
LONG_AGAIN = """
    2026-03-10 08:00  wound
    2026-03-12 17:00  wound, was going
"""


def held(*parts: str) -> Held | None:
    return held_back(read("".join(part.rstrip() for part in parts)), lambda *_: FORESEEN)


def test_runs_within_the_point_are_believed() -> None:
    assert held(SHORT) is None


def test_a_run_beyond_it_is_held_back_and_asks_of_the_first_note_too_late() -> None:
    assert held(SHORT, LONG) == Held(run_uid="3", entry_uid="5", hours=58.0, seen_going_h=24.0)


def test_a_sighting_beyond_it_is_held_back_with_what_was_seen_before_believed() -> None:
    going = held("2026-03-01 08:00 wound\n2026-03-02 08:00 seen going\n2026-03-03 20:00 seen going")
    assert going == Held(run_uid="1", entry_uid="3", hours=60.0, seen_going_h=24.0)


def test_the_note_that_ended_it_is_asked_of_if_no_other_was_too_late() -> None:
    assert held("2026-03-01 08:00 wound\n2026-03-03 20:00 wound, was going") == Held(
        run_uid="1", entry_uid="2", hours=60.0, seen_going_h=0.0
    )


@pytest.mark.parametrize("second", [LONG_AGAIN, "\n2026-03-10 08:00 wound\n2026-03-12 20:00 seen going"])
def test_a_second_such_run_releases_both(second: str) -> None:
    assert held(LONG, second) is None


def test_an_ordinary_run_after_it_releases_nothing() -> None:
    ordinary = "\n2026-03-10 08:00 wound\n2026-03-12 00:00 wound, was going"
    assert held(LONG, ordinary) == held(LONG)


@pytest.mark.parametrize("uid", ["3", "4"])
def test_no_releases_it(uid: str) -> None:
    notes = [_vouched(note) if note.uid == uid else note for note in log(LONG)]
    assert held_back(run_downs(WATCH, notes), lambda *_: FORESEEN) is None


def test_no_said_of_the_run_before_says_nothing_of_this_one() -> None:
    notes = [_vouched(note) if note.uid == "1" else note for note in log(LONG)]
    assert held_back(run_downs(WATCH, notes), lambda *_: FORESEEN) is not None


def test_a_run_hardly_longer_than_the_longest_of_late_is_believed() -> None:
    def falling() -> Iterator[Foreseen]:
        yield from (Foreseen(40.0, 60.0), Foreseen(15.0, 20.0))

    points = falling()
    text = LONG + "    2026-03-10 08:00  wound\n    2026-03-12 20:00 wound, was going"
    assert held_back(read(text), lambda *_: next(points)) is None


def wound_each_morning(days: int, then: str) -> Held | None:
    """So many windings a day apart, and what came after the last of them."""
    first = log("2026-01-01 08:00 wound, was going")[0]
    notes = [replace(first, uid=f"{day:03}", at=first.at + timedelta(days=day)) for day in range(days)]
    last = notes[-1].at
    ended = [note for note in log(f"{last:%Y-%m-%d} 08:00 wound\n{then}") if note.at > last]
    return held_back(run_downs(WATCH, [*notes, *ended]), lambda *_: FORESEEN)


SKIPPED = "2026-01-{} 08:00 wound, was going"


def test_a_daily_winding_is_missed_from_a_run_that_more_likely_had_stopped_by_then() -> None:
    doubted = wound_each_morning(HABIT + 1, SKIPPED.format(HABIT + 3))
    assert doubted is not None
    assert (doubted.hours, doubted.seen_going_h) == (48.0, 0.0)


def test_so_it_is_from_a_sighting() -> None:
    doubted = wound_each_morning(HABIT + 1, f"2026-01-{HABIT + 3} 08:00 seen going")
    assert doubted is not None
    assert doubted.hours == 48.0


@pytest.mark.parametrize(
    "then",
    [
        f"2026-01-{HABIT + 2} 23:00 wound, was going",
        f"2026-01-{HABIT + 3} 07:00 seen going\n2026-01-{HABIT + 3} 09:00 stopped",
    ],
    ids=["likely to go on", "seen to stop"],
)
def test_it_is_not_missed_where_nothing_speaks_for_it(then: str) -> None:
    assert wound_each_morning(HABIT + 1, then) is None


def test_it_is_not_missed_before_a_habit_is_known() -> None:
    assert wound_each_morning(HABIT, SKIPPED.format(HABIT + 2)) is None


def test_two_such_runs_are_believed() -> None:
    twice = f"{SKIPPED.format(HABIT + 3)}\n{SKIPPED.format(HABIT + 5)}"
    assert wound_each_morning(HABIT + 1, twice) is None


def test_years_of_daily_winding_cost_one_estimate() -> None:
    first = log("2016-01-01 08:00 wound, was going")[0]
    days = [replace(first, uid=f"{day:04}", at=first.at + timedelta(days=day)) for day in range(1000)]
    asked: list[int] = []
    assert held_back(run_downs(WATCH, days), _counted(asked)) is None
    assert asked == [0]


def test_a_run_held_back_is_counted_among_those_that_tell_nothing() -> None:
    history = read(SHORT.rstrip() + LONG)
    believed, held_run = present_segment(history, history.runs[0].started_at, "3").runs
    assert (believed.evidence.kind, held_run.evidence.kind) == ("at_most", "none")


def _counted(asked: list[int]) -> Foresight:
    def foresight(runs: tuple[Run, ...], age_years: float) -> Foreseen:
        asked.append(len(runs))
        return Foreseen(40.0, POINT_H + age_years)

    return foresight


def _vouched(note: Entry) -> Entry:
    assert isinstance(note, Sighting | Wind)
    return replace(note, nothing_between=True)
