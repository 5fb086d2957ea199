from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.commands.base import EntryCommand
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.commands.register import WatchFields
from tracker.core.watch import WoundBy
from tracker.example.days import Days
from tracker.example.life import Lived, lived
from tracker.example.role import Act, Intent, Keeper, Role, Spring

DAYS = Days(datetime(2026, 11, 25, 7, 25, tzinfo=UTC), ZoneInfo("Europe/London"))
MONDAY = datetime(2026, 11, 2, 8, 0, tzinfo=UTC)
EXACT = Spring(reserve_h=40.0, per_year=0.0, scatter=0.0, rate_s_per_day=0.0)
UID = "01936f4e-5c00-7000-8000-000000000000"


def _lived(
    *acts: tuple[float, Act],
    wound_by: WoundBy = "crown",
    sure: bool = True,
    unnoted: float = 0.0,
    winder_turns_a_day: float | None = None,
) -> Lived:
    fields = WatchFields(nickname="Test piece", wound_by=wound_by, date_window=True)
    role = Role(fields=fields, spring=EXACT, keeper=Keeper(unnoted=unnoted), winder_turns_a_day=winder_turns_a_day)
    intents = [Intent(at=MONDAY + timedelta(hours=hours), act=act, sure=sure) for hours, act in acts]
    return lived(role, UID, intents, DAYS)


def _lasts_h(life: Lived) -> float:
    assert life.stops_at is not None
    return (life.stops_at - MONDAY) / timedelta(hours=1)


def _winds(entries: Sequence[EntryCommand]) -> list[LogWind]:
    return [entry for entry in entries if isinstance(entry, LogWind)]


def test_a_watch_found_stopped_shows_when_it_stopped() -> None:
    look = _lived((0, "wind"), (50, "look")).entries[-1]
    assert isinstance(look, LogSighting)
    assert look.seen == "stopped"
    assert look.shown is not None
    hours, minutes = look.shown.split(":")
    assert abs(int(hours) % 12 * 60 + int(minutes)) in {*range(4), *range(717, 720)}
    assert look.shown_date == 4 or (look.shown_date == 3 and hours == "11")


def test_a_wind_notes_the_true_state_and_what_was_done_to_the_hands() -> None:
    first, second, third = _winds(_lived((0, "wind"), (24, "wind"), (100, "wind")).entries)
    assert (first.found, first.hands, first.date_set) == ("stopped", "set now", True)
    assert (second.found, second.hands, second.shown) == ("going", "left", None)
    assert (third.found, third.hands) == ("stopped", "set now")


def test_each_full_wind_is_told_how_long_it_lasts() -> None:
    life = _lived((0, "wind"), (24, "wind"))
    assert [life.runs_h[wind.uid] for wind in _winds(life.entries)] == [40.0, 40.0]
    assert _lasts_h(life) == 64.0


def test_a_part_wind_adds_to_what_is_left_but_never_beyond_full() -> None:
    assert 0 < _lasts_h(_lived((0, "part wind"))) < 20
    assert _lasts_h(_lived((0, "wind"), (1, "unsure wind"))) == 41.0


def test_a_winding_that_nobody_noted_still_winds() -> None:
    life = _lived((0, "wind"), sure=False, unnoted=1.0)
    assert (life.entries, life.unnoted) == ([], 1)
    assert _lasts_h(life) > 25


def test_a_day_on_the_wrist_winds_an_automatic() -> None:
    life = _lived((0, "put on"), (12, "lay down"), wound_by="rotor only")
    assert [type(entry) for entry in life.entries] == [LogSighting, LogWear, LogWear]
    assert _lasts_h(life) == 52.0


def test_an_automatic_on_the_wrist_does_not_stop() -> None:
    assert _lived((0, "put on"), wound_by="crown and rotor").stops_at is None


def test_a_watch_that_lies_on_a_winder_goes_there_when_it_is_laid_down_and_leaves_it_to_be_worn() -> None:
    worn: list[tuple[float, Act]] = [(0, "put on"), (2, "lay down"), (50, "put on"), (51, "lay down")]
    life = _lived(*worn, wound_by="rotor only", winder_turns_a_day=720.0)
    assert [entry.act for entry in life.entries if isinstance(entry, LogWear | LogWinder)] == [
        "put on", "laid down", "on", "off", "put on", "laid down", "on",
    ]  # fmt: skip
    assert [entry.turns_a_day for entry in life.entries if isinstance(entry, LogWinder)] == [720.0, None, 720.0]
    assert life.stops_at is None
    assert len(life.spells) == 1


def test_a_watch_handed_in_comes_back_on_no_winder() -> None:
    acts: list[tuple[float, Act]] = [(0, "put on"), (1, "lay down"), (5, "hand in"), (100, "service"), (120, "put on")]
    life = _lived(*acts, wound_by="rotor only", winder_turns_a_day=720.0)
    assert [entry.act for entry in life.entries if isinstance(entry, LogWinder)] == ["on"]
    assert len(life.spells) == 2


def test_a_hand_wound_watch_that_stops_on_the_wrist_is_seen_to_have() -> None:
    life = _lived((0, "wind on the wrist"), (45, "lay down"))
    assert [type(entry) for entry in life.entries] == [LogWind, LogWear, LogSighting, LogWear]


def test_a_watch_handed_in_going_was_stopped_on_purpose() -> None:
    life = _lived((0, "wind"), (10, "hand in"), (100, "service"))
    assert isinstance(life.entries[1], LogSighting)
    assert life.entries[1].seen == "stopped on purpose"
    assert isinstance(life.entries[2], LogService)


@pytest.mark.parametrize("day", [datetime(2026, 3, 28, 7, tzinfo=UTC), datetime(2026, 10, 24, 6, tzinfo=UTC)])
def test_hands_an_hour_wrong_after_the_clocks_change_are_set(day: datetime) -> None:
    fields = WatchFields(nickname="Test piece")
    moments = [day + timedelta(days=ahead) for ahead in range(7)]
    intents = [Intent(at=moment, act="wind", sure=True) for moment in moments]
    winds = _winds(lived(Role(fields=fields, spring=EXACT), UID, intents, DAYS).entries)
    assert "set now" in {wind.hands for wind in winds[1:]}
