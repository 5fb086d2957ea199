"""A decline in words: never more than is known."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker import servicewords
from tracker.core.decline import Forecast
from tracker.core.spread import Band

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
LONDON = ZoneInfo("Europe/London")
DAY = timedelta(days=1)


def dates(low: float, mid: float | None, high: float | None) -> tuple[datetime, datetime | None, datetime | None]:
    """So many days from now, None for never."""
    middle, last = (None if days is None else NOW + days * DAY for days in (mid, high))
    return NOW + low * DAY, middle, last


@pytest.mark.parametrize(
    ("band", "lost", "span"),
    [
        (Band(0.06, 0.12, 0.17), "about 12 %", "6 to 17 %"),
        (Band(-0.1, -0.02, 0.08), "about 0 %", "up to 8 %"),
        (Band(-0.1, -0.05, -0.01), "about 0 %", "nothing"),
        (Band(0.119, 0.12, 0.121), "about 12 %", "12 %"),
    ],
)
def test_what_is_lost_is_said_with_its_band(band: Band, lost: str, span: str) -> None:
    assert (servicewords.lost(band), servicewords.lost_span(band)) == (lost, span)


@pytest.mark.parametrize(
    ("stops", "going", "said"),
    [(3, 41, "3 stops and 41 “at least”"), (1, 0, "1 stop"), (0, 5, "5 “at least”"), (0, 0, "no run yet")],
)
def test_runs_are_counted_by_what_they_tell(stops: int, going: int, said: str) -> None:
    assert servicewords.counted(stops, going) == said


@pytest.mark.parametrize(
    ("told", "said", "short"),
    [
        (None, "A loss of 10 % is not in sight.", "not in sight"),
        (
            Forecast(0.4, *dates(900, None, None)),
            "A loss of 10 % is not in sight, hardly before 2029.",
            "hardly before 2029",
        ),
        (Forecast(0.4, *dates(-900, None, None)), "A loss of 10 % may never be reached.", "perhaps never"),
        (
            Forecast(0.7, *dates(300, 600, None)),
            "A loss of 10 % would be reached not before 2027, as likely as not by 2028, perhaps never.",
            "as likely as not by 2028, perhaps never",
        ),
        (
            Forecast(0.7, *dates(-300, 600, None)),
            "A loss of 10 % would be reached as likely as not by 2028, perhaps never.",
            "as likely as not by 2028, perhaps never",
        ),
        (
            Forecast(0.99, *dates(1500, 2600, 5800)),
            "A loss of 10 % is to be expected about 2034 (between 2031 and 2042), if it goes on like this.",
            "about 2034 (2031 to 2042)",
        ),
        (
            Forecast(0.96, *dates(-100, -10, 300)),
            "A loss of 10 % has probably been reached, about Nov 2026 (between Aug 2026 and Sep 2027).",
            "about Nov 2026 (Aug 2026 to Sep 2027)",
        ),
        (
            Forecast(1.0, *dates(-158, -153, -149)),
            "A loss of 10 % was reached about 2026-06-25 (between 2026-06-20 and 2026-06-29).",
            "about 2026-06-25 (2026-06-20 to 2026-06-29)",
        ),
        (Forecast(1.0, *dates(-153.1, -153, -152.9)), "A loss of 10 % was reached (2026-06-25).", "2026-06-25"),
    ],
)  # fmt: skip
def test_a_forecast_is_as_fine_as_its_band(told: Forecast | None, said: str, short: str) -> None:
    assert servicewords.forecast(told, 0.1, NOW, LONDON) == said
    assert servicewords.forecast_short(told, NOW, LONDON) == short


def test_the_owners_least_reserve_has_its_own_sentence() -> None:
    told = Forecast(0.99, *dates(300, 600, 900))
    assert servicewords.forecast_least(told, 36.0, NOW, LONDON) == (
        "Less than the 36 h you want is to be expected about Jul 2028 (between Sep 2027 and May 2029), if it goes on like this."
    )
    assert servicewords.forecast_least(None, 36.5, NOW, LONDON) == "Less than the 36.5 h you want is not in sight."


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (0.0001, "less than a day"),
        (0.003, "1 day"),
        (0.02, "7 days"),
        (0.08, "1 month"),
        (0.5, "6 months"),
        (2.81, "2.8 years"),
        (12.3, "12 years"),
    ],
)
def test_years_are_no_finer_than_they_are_felt(count: float, said: str) -> None:
    assert servicewords.years(count) == said


def test_what_is_missing_is_told_since_the_service_where_one_is_known() -> None:
    assert servicewords.not_enough("no stop", serviced=False).startswith(
        "Not enough evidence yet: it was never left to stop."
    )
    assert "since its service it was never left to stop" in servicewords.not_enough("no stop", serviced=True)
    assert servicewords.not_enough("enough", serviced=True) == ""


def test_less_reserve_alone_opens_no_watch() -> None:
    assert "seldom a reason to open a watch" in servicewords.seldom()
