"""The page of figures says what the stored results say."""

import pytest

from tests.soak.figures import figures
from tests.soak.goals import verdict
from tests.soak.page import PAGE, RESULTS, stored, written


def test_the_page_is_what_the_stored_results_give() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert RESULTS.exists()
    assert written(page, stored()) == page


@pytest.mark.parametrize(
    ("value", "said"), [(0.90, "met"), (0.85, "not contradicted"), (0.98, "not contradicted"), (0.80, "missed")]
)
def test_a_goal_is_missed_only_beyond_two_standard_errors(value: float, said: str) -> None:
    assert verdict(value, 0.02, 30, (0.87, 0.97)) == said


def test_a_band_is_counted_by_evaluation_and_its_error_by_watch() -> None:
    ask = {
        "age": 1.0,
        "stops": [0, 0, 0],
        "usable": 0.9,
        "mid": 1.1,
        "keep": 0.1,
        "may_raise": True,
        "naive": [None] * 4,
    }
    holds, misses = {**ask, "low": 0.9, "high": 1.2}, {**ask, "low": 1.01, "high": 1.2}
    watch = {"habit": "weekend", "fate": "stable", "misfit": "none", "drop_age": 2.0, "scatter": 0.04}
    told = {row["figure"]: row for row in figures([{**watch, "asked": [holds] * 4}, {**watch, "asked": [misses] * 4}])}
    assert (told["held"]["value"], told["held"]["se"], told["held"]["watches"]) == (0.5, 0.5, 2)
    assert told["error"]["value"] == pytest.approx(0.1)
    assert told["error, longest seen"]["value"] is None
