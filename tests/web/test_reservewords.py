"""What is known of a reserve, in sentences."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.web.rounds import NOW, figures, seen, wound
from tracker.core.peaks import Peak
from tracker.core.reserve import Band
from tracker.core.timeline import Service
from tracker.core.watch import Watch
from tracker.core.windby import Risk
from tracker.figures import Figures
from tracker.web import reservewords


def counted(**evidence: int) -> Figures:
    each = figures("Night ferry", wound(2))
    return replace(each, estimate=replace(each.estimate, evidence=evidence))


def reserve(low: float, mid: float, high: float) -> Figures:
    each = figures("Night ferry", wound(2))
    return replace(each, estimate=replace(each.estimate, reserve_h=Band(low, mid, high)))


@pytest.mark.parametrize(
    ("evidence", "words"),
    [
        ({"exact": 1, "between": 1, "one_of": 1, "at_least": 41}, "from 3 stops and 41 “at least”"),
        ({"exact": 12, "at_most": 6, "at_least": 41}, "from 12 stops, 6 “at most” and 41 “at least”"),
        ({"at_most": 1}, "from 1 “at most”"),
        ({"at_least": 2}, "from 2 “at least”"),
        ({}, "nothing seen yet: a day or two, for no reserve is stated"),
    ],
)
def test_evidence_is_counted_in_words(evidence: dict[str, int], words: str) -> None:
    assert reservewords.evidence(counted(**evidence)) == words


def test_a_start_is_named_by_where_it_comes_from() -> None:
    assert reservewords.given(Watch(uid="a", nickname="a", stated_reserve_h=42)) == "the maker's 42 h"
    assert reservewords.given(Watch(uid="a", nickname="a", stated_reserve_h=37.5)) == "the maker's 37.5 h"
    assert reservewords.given(Watch(uid="a", nickname="a", reserve_class="eight days")) == (
        "a reserve of about eight days"
    )
    assert reservewords.stated(Watch(uid="a", nickname="a")) == "not known"


@pytest.mark.parametrize(
    ("band", "words"),
    [
        ((38.4, 38.8, 39.2), "about 38.8 h (38.4 to 39.2 h)"),
        ((31.0, 37.0, 45.0), "about 37 h (31 to 45 h)"),
        ((58.0, 68.0, 80.0), "about 68 h (58 to 80 h)"),
        ((150.0, 180.0, 200.0), "about 8 days (6 to 8 days)"),
    ],
)
def test_a_reserve_and_its_band_share_a_unit(band: tuple[float, float, float], words: str) -> None:
    assert reservewords.reserve_now(reserve(*band)) == words


def test_a_reserve_that_may_be_one_of_two_is_told_as_two() -> None:
    each = reserve(57.0, 61.0, 72.0)
    humps = (Peak(0.4, Band(57.0, 58.0, 59.0)), Peak(0.6, Band(69.0, 70.0, 71.0)))
    each = replace(each, estimate=replace(each.estimate, one_of_h=humps))
    assert reservewords.reserve_now(each) == "about 70 h (69 to 71 h), or else about 58 h (57 to 59 h)"
    assert "the first with a chance of 60 %" in reservewords.one_sided(each)
    assert "One look 64 h after a full wind would." in reservewords.one_sided(each)


def test_of_three_lengths_a_look_in_each_gap_tells_them_apart() -> None:
    each = counted(one_of=1)
    humps = tuple(Peak(1 / 3, Band(mid - 2, mid, mid + 2)) for mid in (30.0, 42.0, 54.0))
    three = replace(each, estimate=replace(each.estimate, one_of_h=humps))
    assert reservewords.one_sided(three).endswith("Looks 36 h and 48 h after a full wind would.")


def test_no_look_past_the_wind_by_is_named_for_a_watch_that_may_not_stop() -> None:
    each = counted(one_of=3)
    humps = (Peak(0.4, Band(57.0, 58.0, 59.0)), Peak(0.6, Band(69.0, 70.0, 71.0)))
    perpetual = replace(
        each, watch=replace(each.watch, stake="calendar"), estimate=replace(each.estimate, one_of_h=humps)
    )
    assert reservewords.one_sided(perpetual).endswith("what was seen can't tell them apart.")
    lower = counted(at_least=40)
    lower = replace(lower, watch=replace(lower.watch, stake="calendar"))
    assert reservewords.one_sided(lower) == "Only a lower bound is known: it was never left to stop."


def test_stops_before_a_service_are_not_denied() -> None:
    each = counted(at_least=40)
    served = replace(each, segment=replace(each.segment, serviced=True))
    assert reservewords.one_sided(served).startswith("Only a lower bound is known: since its service it was never left")


def test_little_seen_is_said_and_no_longer_once_it_stopped() -> None:
    assert reservewords.doubt(counted(at_least=2)).startswith("Too little seen yet: one winding, no stop.")
    assert reservewords.doubt(counted(at_least=2, exact=1)) == ""
    assert reservewords.doubt(figures("Night ferry")).startswith("Nothing seen yet.")


def test_what_the_evidence_does_not_reach_is_said() -> None:
    assert "Only a lower bound is known" in reservewords.one_sided(counted(at_least=40))
    assert "Nothing is known from below" in reservewords.one_sided(counted(at_most=2))
    assert reservewords.one_sided(counted(at_least=40, between=1)) == ""


def test_a_bound_on_the_risk_is_said() -> None:
    each = counted()
    assert "can't be promised by a wind-by alone" in reservewords.bound(replace(each, risk=Risk(0.005, True, False)))  # noqa: FBT003 -- the core's own order
    assert "no wind-by is set later" in reservewords.bound(replace(each, risk=Risk(0.1, False, True)))  # noqa: FBT003 -- as above
    assert reservewords.bound(each) == "All this takes a full wind for granted."


def test_a_wind_by_moved_by_a_sighting_says_the_sum_since_the_wind() -> None:
    assert reservewords.sum_since_wind(figures("Night ferry", wound(20))) == ""
    assert reservewords.sum_since_wind(figures("Night ferry", wound(20), seen(19))) == ""
    moved = reservewords.sum_since_wind(figures("Night ferry", wound(41), seen(1)))
    assert moved == "more than every second run stops before this wind-by"


def test_then_stated_and_now_are_told_in_one_unit() -> None:
    each = figures("Fog signal", Service(uid="s", at=NOW - timedelta(days=900), zone="UTC"), wound(80), seen(2))
    bands = replace(each.estimate, reserve_h=Band(62.6, 63.2, 64.2), baseline_h=Band(77.0, 79.0, 82.0))
    fallen = replace(each, estimate=bands)
    assert reservewords.baseline(fallen) == "77 to 82 h"
    watch = replace(each.watch, stated_reserve_h=80.0)
    assert reservewords.stated(watch, hours=reservewords.in_hours(fallen)) == "80 h"
    lasting = replace(each, estimate=replace(bands, reserve_h=Band(170.0, 180.0, 190.0)))
    assert reservewords.stated(watch, hours=reservewords.in_hours(lasting)) == "3.3 days"


def test_more_than_two_reserves_are_told_by_the_range_that_holds_them_all() -> None:
    each = reserve(20.0, 45.0, 76.0)
    humps = (Peak(0.2, Band(28, 31, 34)), Peak(0.3, Band(39, 43, 47)), Peak(0.5, Band(51, 58, 90)))
    split = replace(each, estimate=replace(each.estimate, one_of_h=humps, evidence={"one_of": 1}))
    assert reservewords.reserve_now(split) == "20 to 76 h, one of several"
    assert reservewords.one_sided(split).startswith("What was seen fits several reserves and can't tell them apart.")
