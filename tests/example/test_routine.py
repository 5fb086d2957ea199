from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from tracker.commands.register import WatchFields
from tracker.example.cast import CAST
from tracker.example.days import Days
from tracker.example.role import Intent, Keeper, Mended, Role, Scene, Spells, Spring, Steady
from tracker.example.routine import APART, intents

DAYS = Days(datetime(2026, 11, 25, 7, 25, tzinfo=UTC), ZoneInfo("Europe/London"))
FIELDS = WatchFields(nickname="Test piece")
STAYS = Keeper(away=False)


def _of(intended: list[Intent], act: str) -> list[Intent]:
    return [intent for intent in intended if intent.act == act]


def test_a_daily_winder_winds_each_day_at_about_the_same_time() -> None:
    role = Role(fields=FIELDS, spring=Spring(reserve_h=40.0), routine=Steady(), keeper=STAYS)
    winds = intents(role, DAYS)
    assert len(winds) in {1096, 1097}
    assert {DAYS.wall(wind.at).hour for wind in winds} <= {6, 7, 8, 9}


def test_a_clock_wound_on_sundays_is_wound_on_no_other_day() -> None:
    role = Role(fields=FIELDS, spring=Spring(reserve_h=200.0), routine=Steady(weekday=6), keeper=STAYS)
    assert {DAYS.wall(wind.at).weekday() for wind in intents(role, DAYS)} == {6}


def test_a_keeper_who_is_away_does_nothing() -> None:
    role = Role(fields=FIELDS, spring=Spring(reserve_h=40.0), routine=Steady(looks=0.5))
    assert not {DAYS.wall(intent.at).date() for intent in intents(role, DAYS)} & DAYS.absences()


def test_a_spell_is_put_on_and_laid_down_each_day() -> None:
    role = Role(fields=FIELDS, spring=Spring(reserve_h=40.0), routine=Spells(gap_days=(3, 5), days=(2, 2)))
    intended = intents(role, DAYS)
    assert len(_of(intended, "wind on the wrist")) == len(_of(intended, "lay down")) > 100


def test_a_watch_at_the_bench_is_let_alone() -> None:
    spring = Spring(reserve_h=40.0, services=(Mended(days_ago=100, work_done="Cleaned.", reserve_h=41.0),))
    intended = intents(Role(fields=FIELDS, spring=spring, routine=Steady(), keeper=STAYS), DAYS)
    handed_in, served = _of(intended, "hand in")[0].at, _of(intended, "service")[0].at
    assert served - handed_in == timedelta(days=9)
    assert not [intent for intent in intended if handed_in < intent.at < served]


def test_the_routine_gives_way_to_the_last_scenes() -> None:
    ending = (Scene(act="wind", hours_ago=(30.0, 40.0)),)
    intended = intents(Role(fields=FIELDS, spring=Spring(reserve_h=40.0), routine=Steady(), ending=ending), DAYS)
    assert 30 <= (DAYS.now - intended[-1].at) / timedelta(hours=1) <= 40
    assert intended[-1].sure


@pytest.mark.parametrize("role", CAST, ids=lambda role: role.fields.nickname)
def test_intents_are_in_order_apart_and_past(role: Role) -> None:
    moments = [intent.at for intent in intents(role, DAYS)]
    assert all(later - earlier >= APART for earlier, later in pairwise(moments))
    assert moments[-1] < DAYS.now
