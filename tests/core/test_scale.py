import pytest

from tests.core.notes import log
from tracker.core.scale import FIXED_SD, LOOSE_SD, Scale, scale_of
from tracker.core.watch import Indicator, Watch


def scale(text: str, indicator: Indicator = "fraction", stated_h: float | None = None) -> Scale | None:
    return scale_of(Watch(uid="w", nickname="w", indicator=indicator, stated_reserve_h=stated_h), log(text))


NEITHER = """
2026-03-01 08:00 wound, had stopped
2026-03-02 08:00 reading, indicator 0.5
"""
BOTH = """
2026-03-01 08:00 wound, had stopped
2026-03-01 08:10 reading, indicator 0.9
2026-03-03 08:00 stopped, indicator 0.1
"""


def test_nobody_checked_its_ends() -> None:
    found = scale(NEITHER)
    assert found == Scale(1.0, 0.0, fixed=False)
    assert found.sd == LOOSE_SD


def test_both_ends_were_read() -> None:
    found = scale(BOTH)
    assert found == Scale(0.9, 0.1, fixed=True)
    assert found.sd == FIXED_SD
    assert found.share(0.5) == pytest.approx(0.5)
    assert (found.share(0.95), found.share(0.0)) == (1.0, 0.0)


def test_hours_count_from_what_the_maker_states() -> None:
    assert scale(NEITHER, "hours", 192.0) == Scale(192.0, 0.0, fixed=False)
    assert scale(NEITHER, "hours") is None


def test_without_an_indicator_or_between_ends_that_contradict_there_is_none() -> None:
    assert scale(BOTH, "none") is None
    assert scale(BOTH.replace("0.9", "0.05")) is None
