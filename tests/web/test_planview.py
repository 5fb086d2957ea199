from zoneinfo import ZoneInfo

from tests.web.rounds import HOUR, LONDON, NOW, client, figures, register, seen, wound
from tracker.commands.settings import Settings
from tracker.figures import Figures
from tracker.planning import planned
from tracker.store.store import Store
from tracker.web import planview
from tracker.web.planview import Shown, shown

SETTINGS = Settings(zone="Europe/London")


def plan(*asked: Figures, settings: Settings = SETTINGS, days: float = 14) -> Shown | None:
    zone = ZoneInfo(settings.zone)
    return shown(planned(list(asked), settings, NOW, days), list(asked), NOW, zone)


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


def test_a_deadline_that_no_round_meets_is_told() -> None:
    found = plan(figures("Fog signal", wound(37.0)))
    assert found is not None
    assert found.warnings[0].startswith("Fog signal should be wound by ")


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
    assert [day.said for day in days] == ["today to Thu 5 Nov"]
    assert found.end - autumn == 14 * 24 * HOUR
