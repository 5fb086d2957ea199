"""The seven figures of ISO 3159 as far as the days go; their values are checked in tests/external."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tracker.core.chronometer import PROGRAMME, Result, daily_rates, seven_figures
from tracker.core.timing import Reading

AT = datetime(2026, 11, 2, 9, tzinfo=UTC)


def day(number: int, rate: float = 1.0, **told: Any) -> Reading:
    temperature = {11: 8.0, 13: 38.0}.get(number, 23.0)
    fields: dict[str, Any] = {"position": PROGRAMME[number - 1], "temperature_c": temperature, **told}
    return Reading(uid=str(number), at=AT + timedelta(days=number), rate_s_per_day=rate, programme_day=number, **fields)


def by_name(results: tuple[Result, ...]) -> dict[str, Result]:
    return {each.criterion: each for each in results}


def test_what_is_missing_is_named_and_nothing_said() -> None:
    told = by_name(seven_figures(daily_rates([day(number) for number in (1, 2, 15)])))
    assert told["resumption of rate"].value == 0.0
    assert told["mean daily rate"].value is None
    assert told["mean daily rate"].missing_days == tuple(range(3, 11))
    assert told["mean daily rate"].within_large is None
    assert told["variation by temperature"].missing_days == (11, 13)


def test_a_day_in_another_position_or_at_another_temperature_does_not_count() -> None:
    assert daily_rates([day(1, position="CH"), day(11, temperature_c=None), day(13, temperature_c=23.0)]) == {}
    assert daily_rates([day(1, temperature_c=None), day(11, temperature_c=8.5)]) == {1: 1.0, 11: 1.0}


def test_the_newest_reading_of_a_day_counts() -> None:
    assert daily_rates([day(2, 9.0), day(2, 3.0)]) == {2: 3.0}


@pytest.mark.parametrize(("rate", "large", "small"), [(6.0, True, True), (6.5, False, True), (8.5, False, False)])
def test_each_size_has_its_limits(rate: float, large: bool, small: bool) -> None:  # noqa: FBT001 -- what is expected
    told = by_name(seven_figures(dict.fromkeys(range(1, 11), rate)))["mean daily rate"]
    assert (told.within_large, told.within_small) == (large, small)
