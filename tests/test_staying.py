from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tests.web.rounds import HOUR, NOW, of_watch, seen, wound
from tracker.commands.settings import Settings
from tracker.core.timeline import Entry, OnWinder, Sighting, Wear
from tracker.core.watch import Stake, Watch
from tracker.figures import Figures
from tracker.staying import Absence, Stay, absence, visits_every

SETTINGS = Settings(zone="Europe/London")
LEAVE = NOW + timedelta(days=2, hours=3)
STOPPED = Sighting(uid="x", at=NOW - HOUR, zone="UTC", seen="stopped")


def watch(
    nickname: str, hours_ago: float | None, *, median_h: float = 40.0, kept: bool = True, stake: Stake = "time only"
) -> Figures:
    own = Watch(uid=nickname, nickname=nickname, habit="keep going" if kept else "when worn", stake=stake)
    notes = (seen(1.0),) if hours_ago is None else (wound(hours_ago),)
    return of_watch(own, *notes, median_h=median_h)


def gone(*figures: Figures, days: float = 4.0, taken: tuple[str, ...] = (), leave: datetime = LEAVE) -> Absence:
    return absence(list(figures), SETTINGS, NOW, leave=leave, back=leave + timedelta(days=days), taken=taken)


def only(*figures: Figures, days: float = 4.0) -> Stay:
    (stay,) = gone(*figures, days=days).stays
    return stay


def test_the_last_round_is_the_owners_last_before_leaving() -> None:
    found = gone()
    assert found.last_round.strftime("%a %H:%M") == "Fri 07:30"
    assert not found.added


def test_where_none_is_left_one_is_added_before_leaving() -> None:
    found = gone(leave=NOW + timedelta(minutes=4))
    assert (found.last_round, found.added) == (NOW, True)


def test_a_watch_that_a_last_winding_carries_over_is_wound() -> None:
    stay = only(watch("a", 3.0), days=1)
    assert stay.advice == "wind"
    assert stay.found is not None
    assert stay.found.going_at_return > 0.5
    assert stay.found.safe_until > LEAVE


def test_one_that_goes_on_by_itself_is_left() -> None:
    assert only(watch("a", 3.0, median_h=400.0)).advice == "leave going"


def test_one_that_stops_anyway_is_let_stop_where_only_the_time_is_lost() -> None:
    stay = only(watch("a", 3.0))
    assert stay.advice == "let stop"
    assert stay.found is not None
    assert LEAVE < stay.found.stops_to < LEAVE + timedelta(days=2), "at the latest as if wound in the last round"
    assert stay.behind_days is None


def test_but_wound_where_a_calendar_is_at_stake_and_the_steps_are_told() -> None:
    stay = only(watch("a", 3.0, stake="date"))
    assert stay.advice == "wind for its calendar"
    assert stay.behind_days == (2, 3), "wound on Friday morning it stops on Saturday night; back on Tuesday"
    assert stay.date_steps == (3, 4), "November has no 31st; the window has"


def test_a_date_that_goes_over_a_short_month_wants_a_step_though_it_went_on() -> None:
    assert only(watch("a", 3.0, median_h=400.0, stake="date")).steps_if_going == 1
    assert only(watch("a", 3.0, median_h=400.0, stake="calendar")).steps_if_going == 0


def test_what_is_wound_when_worn_is_let_stop() -> None:
    assert only(watch("a", 3.0, kept=False)).advice == "let stop"


def test_of_one_without_a_full_wind_nothing_is_known() -> None:
    stay = only(watch("a", None, kept=False))
    assert (stay.advice, stay.found) == ("look first", None)


def test_one_that_has_stopped_and_would_not_last_stays_at_rest() -> None:
    own = Watch(uid="a", nickname="a", habit="keep going")
    assert only(of_watch(own, wound(60.0), STOPPED)).advice == "at rest"


def test_who_travels_along_is_none_of_the_stays() -> None:
    found = gone(watch("a", 3.0), watch("b", 3.0), taken=("b",))
    assert [stay.watch.nickname for stay in found.stays] == ["a"]
    assert [own.nickname for own in found.travelling] == ["b"]


def test_a_customers_watch_and_one_out_of_reach_are_left_out() -> None:
    lent = Watch(uid="l", nickname="l", reach="out of reach")
    job = Watch(uid="j", nickname="j", job_number="W-1")
    assert gone(of_watch(lent, wound(3.0)), of_watch(job, wound(3.0))).stays == ()


def visits(*days: int) -> list[datetime]:
    return [LEAVE.replace(hour=10) + timedelta(days=day) for day in days]


def test_whoever_comes_by_winds_in_as_few_visits_as_keep_it_going() -> None:
    found = absence(
        [watch("a", 3.0), watch("long", 3.0, median_h=400.0)],
        SETTINGS, NOW, leave=LEAVE, back=LEAVE + timedelta(days=4), visits=visits(1, 2, 3, 4),
    )  # fmt: skip
    assert {uid for each in found.visits for uid in each.wind} == {"a"}
    assert [stay.advice for stay in found.stays] == ["visits", "leave going"]
    assert len(found.visits) <= 4


def test_a_visit_too_late_is_none() -> None:
    found = absence([watch("a", 3.0)], SETTINGS, NOW, leave=LEAVE, back=LEAVE + timedelta(days=8), visits=visits(5))
    assert found.visits == ()
    assert found.stays[0].advice == "let stop"


def test_visits_keep_the_clock_of_the_owner_over_a_change_and_end_before_the_return() -> None:
    leave, back = datetime(2026, 10, 23, 8, tzinfo=UTC), datetime(2026, 10, 27, 9, tzinfo=UTC)
    found = visits_every(2, time(10), leave, back, ZoneInfo("Europe/London"))
    assert found == (datetime(2026, 10, 25, 10, tzinfo=UTC),)  # the 27th at 10:00 comes after the return
    assert visits_every(1, time(10), leave, back, ZoneInfo("Europe/London"))[0] == datetime(2026, 10, 24, 9, tzinfo=UTC)


def rotor(turns_a_day: float | None, *notes: Entry) -> Figures:
    watch = Watch(
        uid="r", nickname="Almanac", wound_by="rotor only", habit="keep going", winder_turns_a_day=turns_a_day
    )
    return of_watch(watch, wound(3.0), *notes)


def on_winder(turns: float | None) -> OnWinder:
    return OnWinder(uid="o", at=NOW - HOUR, zone="UTC", act="on", turns_a_day=turns)


def test_one_that_its_winder_keeps_going_stays_there() -> None:
    stay = only(rotor(None, on_winder(1000.0)))
    assert stay.advice == "on its winder"
    assert stay.winder_turns_a_day is None


def test_a_winder_that_makes_too_few_turns_keeps_nothing_going() -> None:
    assert only(rotor(None, on_winder(300.0))).advice != "on its winder"


def test_what_stops_and_would_go_on_on_a_winder_is_told_its_turns() -> None:
    assert only(rotor(700.0)).winder_turns_a_day == 700.0
    assert only(rotor(None)).winder_turns_a_day is None
    assert only(rotor(700.0), days=0.1).winder_turns_a_day is None


def test_worn_until_leaving_it_counts_from_being_laid_down() -> None:
    worn = rotor(None, Wear(uid="p", at=NOW - HOUR, zone="UTC", act="put on"))
    assert only(worn).found is not None
