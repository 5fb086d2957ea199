"""The course of a reserve in sentences."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.plots.drawings import BERLIN, NOW
from tests.web.rounds import known
from tracker.core.paths import Passing
from tracker.core.peaks import Peak
from tracker.core.reserve import Band, Estimate
from tracker.core.segment import YEAR, Segment
from tracker.plots import coursewords


def segment(years: float = 3.0, *, serviced: bool = True) -> Segment:
    return Segment(since=NOW - years * YEAR, serviced=serviced, runs=(), asked_at=NOW, now_years=years)


def estimate(**more: Any) -> Estimate:
    shown: dict[str, Any] = {"baseline_h": Band(39, 41, 44), "reserve_h": Band(33, 35, 37), "evidence": {"exact": 3}}
    return replace(known(40.0), **(shown | more))


def said(found: Estimate, since: Segment | None = None) -> str:
    return coursewords.course(found, since or segment(), 0.1, NOW, BERLIN)


def test_then_and_now_are_ranges() -> None:
    assert said(estimate()).startswith(
        "Just after its service in Nov 2023 an average run lasted 39 to 44 h; now 33 to 37 h."
    )


def test_without_a_service_the_log_begins_it() -> None:
    assert "When its log began in Nov 2023, an average run" in said(estimate(), segment(serviced=False))


def test_just_after_a_service_nothing_is_said_of_decline() -> None:
    told = said(estimate(fall_probability=0.2), segment(0.1))
    assert told == "An average run lasts 33 to 37 h. It was serviced Mon 2026-10-19: too soon to tell of a decline."


@pytest.mark.parametrize(
    ("chance", "sentence"),
    [
        (0.01, "It has hardly lost 10 % yet: a chance of 1 %."),
        (0.3, "It may have lost 10 % or more: a chance of 30 %."),
        (0.8, "It has probably lost 10 % or more (a chance of 80 %)."),
        (0.97, "It has all but surely lost 10 % or more."),
    ],
)
def test_a_fall_is_said_as_surely_as_it_is_known(chance: float, sentence: str) -> None:
    assert sentence in said(estimate(fall_probability=chance))


def test_a_sudden_drop_is_told_with_the_dates_between_which_it_came() -> None:
    found = estimate(sudden_probability=0.9, change_years=Band(2.2, 2.3, 2.4))
    assert "It dropped suddenly, probably between Fri 2026-02-06 and Mon 2026-04-20." in said(found)
    assert "It may have dropped suddenly" in said(replace(found, sudden_probability=0.6))
    assert "dropped" not in said(replace(found, sudden_probability=0.4))


def test_the_dates_of_a_drop_are_those_of_the_core() -> None:
    found = estimate(sudden_probability=0.9, change_years=Band(2.2, 2.3, 2.4))
    since = NOW - 3 * YEAR
    assert coursewords.drop_between(found, segment()) == (since + 2.2 * YEAR, since + 2.4 * YEAR)


def test_a_forecast_is_told_with_its_band_where_it_is_known_well() -> None:
    found = estimate(threshold_years=Passing(4.0, 5.0, 6.5), threshold_chance=0.9)
    assert said(found).endswith(
        "If it goes on like this, 10 % will be lost about Nov 2028, probably between Nov 2027 and May 2030."
    )


def test_a_forecast_known_badly_says_only_before_when_hardly() -> None:
    vague = estimate(threshold_years=Passing(4.0, 10.0, 26.0), threshold_chance=0.8)
    assert said(vague).endswith("10 % will hardly be lost before Nov 2027.")
    perhaps_never = replace(vague, threshold_years=Passing(4.0, 10.0, None))
    assert said(perhaps_never) == said(vague)
    begun = replace(vague, threshold_years=Passing(2.0, None, None))
    assert "10 % will" not in said(begun)


@pytest.mark.parametrize("evidence", [{}, {"at_least": 300}, {"exact": 1, "at_most": 4}])
def test_without_stops_nothing_is_said_of_decline(evidence: dict[str, int]) -> None:
    found = estimate(evidence=evidence, fall_probability=0.34)
    assert said(found).endswith("now 33 to 37 h. Too few stops were seen to tell of a decline.")
    assert coursewords.brief(found, segment(), 0.1, NOW, BERLIN) == "Too few stops were seen to tell of a decline."


def test_then_and_now_are_told_in_one_unit() -> None:
    found = estimate(baseline_h=Band(77.0, 79.0, 82.0), reserve_h=Band(62.6, 63.0, 64.2))
    assert coursewords.spans(found) == ("77 to 82 h", "63 to 64 h")
    assert (
        coursewords.spans(estimate(reserve_h=Band(170.0, 180.0, 190.0), baseline_h=Band(180.0, 190.0, 200.0)))[1]
        == "7.1 to 7.9 days"
    )


def test_a_reserve_that_may_be_one_of_several_is_said_to_be_so() -> None:
    humps = (Peak(0.6, Band(33, 33.5, 34)), Peak(0.4, Band(36, 36.5, 37)))
    assert "It may be one of several within this range" in said(estimate(one_of_h=humps))


def test_what_has_fallen_already_has_no_forecast() -> None:
    found = estimate(fall_probability=0.8, threshold_years=Passing(1.0, 2.0, 4.0), threshold_chance=1.0)
    assert "If it goes on" not in said(found)


def test_a_forecast_never_begins_in_the_past() -> None:
    found = estimate(fall_probability=0.2, threshold_years=Passing(2.0, 4.0, 6.0), threshold_chance=1.0)
    assert "probably between Nov 2026 and" in said(found)
    assert datetime(2026, 11, 1, tzinfo=UTC) - NOW < timedelta(0)
