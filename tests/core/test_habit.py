import random
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tracker.core.habit import Habit, TimeOfDay, Usual, Winding, learned, passed, time_of_day, usual

LONDON = ZoneInfo("Europe/London")
MONDAY = datetime(2026, 1, 5, tzinfo=UTC)


def mornings(days: int, spread_min: float = 10.0) -> list[Winding]:
    draw = random.Random(1)
    windings = []
    for day in range(days):
        weekend = (MONDAY + timedelta(days=day)).weekday() >= 5
        minutes = draw.gauss(9 * 60 if weekend else 7 * 60 + 30, spread_min)
        windings.append(Winding(MONDAY + timedelta(days=day, minutes=minutes), crown_turns=20.0 + day % 3))
    return windings


def test_weekdays_and_weekends_have_habits_of_their_own() -> None:
    found = learned(mornings(60), LONDON)
    assert found.on_weekdays is not None
    assert found.at_weekends is not None
    assert abs(found.on_weekdays.minute - 450) < 5
    assert abs(found.at_weekends.minute - 540) < 10
    assert 6 < found.on_weekdays.spread_min < 14
    assert found.crown_turns == Usual(20.0, 21.0, 22.0, 60)
    assert found.interval_h is not None
    assert 23.5 < found.interval_h.mid < 24.5


def test_a_clock_change_moves_no_habit() -> None:
    days = [datetime(2026, 3, 16, 7, 30, tzinfo=LONDON) + timedelta(days=day) for day in range(28)]
    found = learned([Winding(day.astimezone(UTC)) for day in days], LONDON)
    assert found.on_weekdays is not None
    assert abs(found.on_weekdays.minute - 450) < 1e-6
    assert found.on_weekdays.spread_min < 1e-3


def test_few_windings_claim_nothing() -> None:
    assert learned(mornings(7), LONDON) == Habit()


def test_times_all_over_the_day_claim_nothing() -> None:
    draw = random.Random(3)
    assert time_of_day([draw.uniform(0, 1440) for _ in range(40)]) is None


def test_around_midnight_the_mean_is_midnight() -> None:
    found = time_of_day([1435.0, 5.0] * 5)
    assert found is not None
    assert min(found.minute, 1440 - found.minute) < 1e-6


def test_windings_timed_loosely_tell_no_time_of_day() -> None:
    loose = [Winding(each.at, within_min=180.0) for each in mornings(60)]
    assert learned(loose, LONDON).on_weekdays is None


def test_only_windings_of_late_count() -> None:
    evenings = [Winding(each.at + timedelta(hours=12)) for each in mornings(60)]
    found = learned([*evenings, *[Winding(each.at + timedelta(days=70)) for each in mornings(60)]], LONDON)
    assert found.on_weekdays is not None
    assert abs(found.on_weekdays.minute - 450) < 70


def test_the_middle_half_holds_the_middle() -> None:
    assert usual([float(value) for value in range(1, 10)]) == Usual(3.0, 5.0, 7.0, 9)
    assert usual([1.0] * 7) is None


def test_nobody_is_reminded_of_what_they_are_about_to_do() -> None:
    habit = Habit(on_weekdays=TimeOfDay(450.0, 10.0, 20))
    at = MONDAY.replace(hour=7)
    assert not passed(habit, at + timedelta(minutes=35), LONDON)
    assert passed(habit, at + timedelta(minutes=41), LONDON)
    assert passed(habit, at + timedelta(days=5), LONDON), "nothing is usual at weekends"
