"""Against ISO 3159 as read in public summaries (weblog entry of 14 April 2005; a Swiss testing body's page): own example.

Formulas and limits are those of the standard; the daily rates were invented and worked out by hand from the formulas.
"""

from datetime import UTC, datetime, timedelta

import pytest

from tracker.core.chronometer import LIMITS, PROGRAMME, daily_rates, seven_figures
from tracker.core.timing import Reading

RATES = [2.1, 2.7, -1.4, -0.6, 3.3, 4.5, 1.0, 0.2, 0.9, 1.7, 4.0, 1.5, -5.0, 2.9, 3.6]
EXPECTED = [1.44, 0.84, 1.2, 1.1, 3.06, -0.3, 1.2]
ONE_FAILS = [2.12, 1.88, 6.0, 1.1, 4.88, -0.3, 1.2]
"""The same with 7.0 instead of 0.2 on the eighth day."""


def figures(rates: list[float]) -> list[tuple[float | None, bool | None, bool | None]]:
    readings = [
        Reading(
            uid=str(day),
            at=datetime(2026, 11, 1, tzinfo=UTC) + timedelta(days=day),
            position=PROGRAMME[day - 1],
            rate_s_per_day=rate,
            temperature_c={11: 8.0, 13: 38.0}.get(day, 23.0),
            programme_day=day,
        )
        for day, rate in enumerate(rates, 1)
    ]
    return [(each.value, each.within_large, each.within_small) for each in seven_figures(daily_rates(readings))]


def test_the_seven_figures_of_iso_3159() -> None:
    told = figures(RATES)
    assert [value for value, _, _ in told] == pytest.approx(EXPECTED, abs=1e-9)
    assert all(large and small for _, large, small in told)


def test_one_day_off_fails_the_greatest_variation_of_large_movements_alone() -> None:
    told = figures([*RATES[:7], 7.0, *RATES[8:]])
    assert [value for value, _, _ in told] == pytest.approx(ONE_FAILS, abs=1e-9)
    assert [large for _, large, _ in told] == [True, True, False, True, True, True, True]
    assert all(small for _, _, small in told)


def test_the_limits_are_those_of_the_standard() -> None:
    assert [LIMITS[each][0] for each in LIMITS] == [(-4, 6), (0, 2), (0, 5), (-6, 8), (0, 10), (-0.6, 0.6), (-5, 5)]
    assert [LIMITS[each][1] for each in LIMITS] == [(-5, 8), (0, 3.4), (0, 7), (-8, 10), (0, 15), (-0.7, 0.7), (-6, 6)]
