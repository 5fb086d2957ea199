from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.core.curve import Curve
from tracker.core.offer import Offer, best, may_stop, offered, run_down_due, run_to_look_at
from tracker.core.rundown import History, run_downs
from tracker.core.telling import Looks
from tracker.core.timeline import Entry, Sighting, Wear, Wind
from tracker.core.watch import Watch
from tracker.core.windby import hours_at_risk

BERLIN = ZoneInfo("Europe/Berlin")
START = datetime(2026, 11, 23, 6, 30, tzinfo=UTC)
WATCH = Watch(uid="a", nickname="A", habit="keep going", looks_offered=True)
LOOKS = Looks(30.0, 60.0, (1.0, 0.8, 0.6, 0.45, 0.4, 0.6, 0.9), (1.0, 0.9, 0.8, 0.7, 0.75, 0.9, 1.0), 0.3)
"""Told at 30, 35 … 60 h after the wind: most at 50 h with the hands, at 45 h without."""
CURVE = Curve(38.0, 42.0, tuple(1.0 - i / 400 for i in range(400)))
HOUR = timedelta(hours=1)


def wind(days: float = 0.0, **told: object) -> Wind:
    """A full wind, so many days after START, its hands set unless told otherwise."""
    given = {"found": "going", "hands": "set now"} | told
    return Wind(uid=f"w{days}", at=START + timedelta(days=days), zone="Europe/Berlin", **given)  # type: ignore[arg-type]


def seen(hours: float, what: str = "going") -> Sighting:
    """A look so many hours after START."""
    return Sighting(uid=f"s{hours}", at=START + hours * HOUR, zone="Europe/Berlin", seen=what)  # type: ignore[arg-type]


def history(*entries: Entry, watch: Watch = WATCH) -> History:
    """What its log says."""
    return run_downs(watch, entries)


def look(*entries: Entry, watch: Watch = WATCH, stops_a_year: float = 12.0) -> Offer | None:
    """The look offered of the present run."""
    told = history(*entries, watch=watch)
    run = run_to_look_at(watch, told, None)
    if run is None:
        return None
    return offered(told, run, LOOKS, CURVE, stops_a_year=stops_a_year, zone=BERLIN)


def test_the_earliest_fair_hour_is_offered_that_tells_nearly_as_much_as_any() -> None:
    found = look(wind())
    assert found is not None
    # 45 h after 07:30 is 04:30 at night: the first hour by day after it is 08:00.
    assert (found.at, found.hours, found.hands) == (datetime(2026, 11, 25, 7, 0, tzinfo=UTC), 48.5, True)
    assert found.left == pytest.approx(0.415)


def test_without_knowing_what_the_hands_were_set_to_they_tell_nothing() -> None:
    found = look(wind(hands="unknown"))
    assert found is not None
    assert not found.hands
    assert found.left > 0.69


def test_a_casual_look_moves_no_appointment() -> None:
    assert look(wind(), seen(20.0)) == look(wind())


def test_a_watch_looked_at_late_has_been_looked_at() -> None:
    late = hours_at_risk(CURVE, 0.2)
    assert look(wind(), seen(late)) is None


def test_a_new_winding_makes_a_new_appointment() -> None:
    first, second = look(wind()), look(wind(), wind(1.0))
    assert first is not None
    assert second is not None
    assert second.at == first.at + timedelta(days=1)


@pytest.mark.parametrize(
    "entries",
    [(), (wind(amount="part"),), (wind(), seen(41.0, "stopped"))],
    ids=["no run", "part wind", "stopped"],
)
def test_no_look_is_offered_of(entries: tuple[Entry, ...]) -> None:
    assert look(*entries) is None


def test_no_look_is_offered_of_what_is_worn_now() -> None:
    put_on = Wear(uid="x", at=START + HOUR, zone="UTC", act="put on")
    assert look(wind(), put_on, watch=replace(WATCH, wound_by="crown and rotor")) is None


@pytest.mark.parametrize(
    "other",
    [
        {"looks_offered": False},
        {"stake": "calendar"},
        {"job_number": "7"},
        {"reach": "out of reach"},
        {"archived_at": START},
    ],
    ids=lambda other: next(iter(other)),
)
def test_no_look_is_offered_where_the_owner_did_not_ask_or_a_stop_costs_much(other: dict[str, object]) -> None:
    assert look(wind(), watch=replace(WATCH, **other)) is None  # type: ignore[arg-type]


def test_a_run_held_back_is_not_looked_at() -> None:
    assert run_to_look_at(WATCH, history(wind()), "w0.0") is None


def test_nothing_is_offered_where_no_look_would_tell_much() -> None:
    run = history(wind()).current
    assert run is not None
    assert best(replace(LOOKS, with_hands=(0.95, 0.85, 0.9)), run, BERLIN) is None


@pytest.mark.parametrize(("stops_a_year", "expected"), [(4.0, False), (12.0, True)])
def test_stops_are_asked_for_no_oftener_than_the_owner_accepts(*, stops_a_year: float, expected: bool) -> None:
    stopped = [wind(-42.0), seen(-40.0 * 24, "stopped"), wind()]
    assert (look(*stopped, stops_a_year=stops_a_year) is not None) == expected


def test_date_watches_may_stop_and_calendars_may_not() -> None:
    assert may_stop(replace(WATCH, stake="date"))
    assert not may_stop(replace(WATCH, stake="calendar"))


def daily(days: int, *before: Entry) -> History:
    """Wound every morning, always going."""
    return history(*before, *(wind(day) for day in range(days)))


NOW = START + timedelta(days=30)


@pytest.mark.parametrize(("days", "due"), [(10, False), (30, True)])
def test_a_run_down_is_asked_for_once_many_runs_were_broken_off(days: int, *, due: bool) -> None:
    assert run_down_due(WATCH, daily(days), NOW) == due


@pytest.mark.parametrize(("days_ago", "due"), [(60, False), (200, True)])
def test_a_run_down_is_asked_for_again_after_half_a_year(days_ago: int, *, due: bool) -> None:
    stopped = [wind(30.0 - days_ago), seen((32.0 - days_ago) * 24.0, "stopped")]
    assert run_down_due(WATCH, daily(30, *stopped), NOW) == due


def test_a_run_down_is_never_asked_of_a_calendar() -> None:
    assert not run_down_due(replace(WATCH, stake="calendar"), daily(30), NOW)
