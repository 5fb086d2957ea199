import re
from dataclasses import replace
from zoneinfo import ZoneInfo

from tests.web.rounds import HOUR, LONDON, NOW, client, figures, register, seen, wound
from tracker.commands.settings import Settings
from tracker.core.roundtimes import Away
from tracker.figures import Figures
from tracker.planning import planned
from tracker.store.store import Store
from tracker.web import planview
from tracker.web.planview import Shown, shown

SETTINGS = Settings(zone="Europe/London")


def plan(*asked: Figures, settings: Settings = SETTINGS, days: float = 14) -> Shown | None:
    zone = ZoneInfo(settings.zone)
    return shown(planned(list(asked), settings, NOW, days), list(asked), NOW, zone)


def plan_of(*asked: Figures) -> Shown:
    found = plan(*asked)
    assert found is not None
    return found


def test_no_plan_is_shown_where_no_watch_goes_by_rounds() -> None:
    assert plan() is None
    assert plan(figures("a", wound(3.0), kept=False)) is None
    assert plan(figures("a", seen(3.0))) is None


def test_each_day_tells_its_rounds_and_days_without_are_told_together() -> None:
    found = plan(figures("Night ferry", wound(1.0), median_h=120.0))
    assert found is not None
    assert [day.said for day in found.days[:3]] == ["today to Fri", "Sat", "Sun to Tue"]
    (opened,) = found.days[1].rounds
    assert (opened.time, [each.nickname for each in opened.first]) == ("09:00", ["Night ferry"])
    assert found.sums.startswith("3 of 14 rounds, 3 windings. The closest comes ")


def test_whom_a_round_reaches_too_late_is_told_by_round() -> None:
    noon = Settings(zone="Europe/London", rounds_on_weekdays=("12:00",))
    found = plan(*(figures(name, wound(35.0)) for name in ("Fog signal", "Bell buoy")), settings=noon)
    assert found is not None
    said = r"To wind sooner than in the round today 12:00: Bell buoy by today 09:\d\d and Fog signal by today 09:\d\d."
    assert re.fullmatch(said, found.warnings[0])


def test_where_there_is_no_round_that_is_told() -> None:
    none = Settings(zone="UTC", rounds_on_weekdays=(), rounds_at_weekends=())
    found = plan(figures("Fog signal", wound(35.0)), settings=none)
    assert found is not None
    assert (found.sums, found.days) == ("None of your rounds falls into these days.", [])
    assert re.fullmatch(r"No round of yours comes in time for: Fog signal by today 09:\d\d.", found.warnings[0])


def test_days_away_are_said_to_be_and_what_may_stop_meanwhile() -> None:
    away = Away(NOW + 24 * HOUR, NOW + 96 * HOUR)  # tomorrow 07:25 to Sunday 07:25
    each = figures("Fog signal", wound(1.0))
    found = planned([each], SETTINGS, NOW, away=[away])
    told = shown(found, [each], NOW, LONDON)
    assert told is not None
    assert next((day.said, day.idle) for day in told.days if day.idle) == ("tomorrow to Sat", "you are away")
    assert re.fullmatch(r"While you are away these may stop: Fog signal from tomorrow \d\d:\d\d.", told.warnings[0])
    assert len(told.warnings) == 1


def test_one_that_comes_within_the_slack_has_a_small_margin_and_no_warning() -> None:
    just = Settings(zone="Europe/London", rounds_on_weekdays=("09:05",))
    found = plan(figures("Fog signal", wound(35.0)), settings=just)
    assert found is not None
    assert found.warnings == []
    assert found.days[0].rounds[0].first[0].margin.endswith(" min")


def test_what_is_late_already_or_by_choice_is_no_warning() -> None:
    assert not plan_of(figures("Late", wound(37.0))).warnings
    moved = replace(figures("Moved", wound(30.0)), chosen_round=NOW + 24 * HOUR + HOUR / 12)
    shown_moved = plan_of(moved)
    assert not shown_moved.warnings
    assert [each.nickname for each in shown_moved.chosen] == ["Moved"]
    assert re.fullmatch(r"tomorrow 07:30, \d+ h too late: it may have stopped by then", shown_moved.chosen[0].margin)


def test_each_watch_has_its_margin_and_whether_the_round_was_chosen() -> None:
    moved = replace(figures("Moved", wound(10.0), median_h=120.0), chosen_round=NOW + 24 * HOUR + HOUR / 12)
    found = plan_of(moved, figures("Other", wound(30.0)))
    told = {
        (each.nickname, each.margin, each.chosen) for day in found.days[:2] for at in day.rounds for each in at.first
    }
    assert ("Other", "7 h", False) in told
    movable = {(each.nickname, each.next) for day in found.days for at in day.rounds[:1] for each in at.first}
    assert movable == {("Other", True), ("Moved", True), ("Other", False), ("Moved", False)}
    assert ("Moved", "3.2 days", True) in told or ("Moved", "3 days", True) in told


def test_a_watch_beyond_these_rounds_is_told_with_the_round_that_would_do() -> None:
    found = plan(figures("Egg timer", wound(1.0), median_h=20.0))
    assert found is not None
    assert found.warnings == ["Egg timer can't be kept going by these rounds; one more at 19:00 every day would do."]


def test_of_many_watches_in_one_round_the_first_are_named() -> None:
    found = plan(*(figures(f"Watch {number:02}", wound(3.0)) for number in range(20)))
    assert found is not None
    (opened,) = found.days[0].rounds or found.days[1].rounds
    assert (len(opened.first), len(opened.rest)) == (planview.NAMED, 20 - planview.NAMED)


def test_the_round_page_shows_it(store: Store) -> None:
    register(store, "Night ferry", 3.0)
    page = client(store).get("/").text
    assert "The coming fortnight" in page
    assert page.index("How long they will go") < page.index("The coming fortnight")


def test_days_go_by_the_owners_clock_also_where_it_changes() -> None:
    autumn = NOW.replace(month=10, day=22)
    found = planned([], SETTINGS, autumn)
    days = list(planview._days(found, {}, autumn, LONDON))
    assert [day.said for day in days] == ["today to Thu 2026-11-05"]
    assert found.end - autumn == 14 * 24 * HOUR
