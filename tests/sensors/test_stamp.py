import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sensors.stamp import AHEAD_S, BEHIND_S, believed, moment_s
from sensors.unread import Unreadable

NOON_S = 1_793_620_800.0


@pytest.mark.parametrize(
    "written",
    [
        "2026-11-02T12:00:00Z",
        "2026-11-02T13:00:00+01:00",
        "2026-11-02T06:30:00-05:30",
        "20261102T120000Z",
        " 2026-11-02 12:00:00.000Z ",
        1_793_620_800,
        1_793_620_800.0,
        1_793_620_800_000,
    ],
)
def test_one_moment_is_read_however_it_is_written(written: object) -> None:
    assert moment_s(written) == NOON_S


def test_a_fraction_of_a_second_is_kept() -> None:
    assert moment_s(1_793_620_800_250) == NOON_S + 0.25 == moment_s("2026-11-02T12:00:00.25Z")


@pytest.mark.parametrize("written", ["2026-11-02T12:00:00", "2026-11-02"])
def test_a_time_without_a_zone_is_not_guessed(written: str) -> None:
    with pytest.raises(Unreadable) as caught:
        moment_s(written)
    assert caught.value.unread.why == "no zone"


@pytest.mark.parametrize("written", ["noon", "", "1793620800", None, True, [], {}, math.nan, math.inf, 10**400])
def test_what_is_no_time_is_told(written: object) -> None:
    with pytest.raises(Unreadable) as caught:
        moment_s(written)
    assert caught.value.unread.why == "no time"


@given(st.text() | st.datetimes(timezones=st.timezones()).map(str) | st.integers() | st.floats())
def test_any_other_value_is_a_finite_moment_or_told(written: object) -> None:
    try:
        assert math.isfinite(moment_s(written))
    except Unreadable as told:
        told.unread.sentence.encode()


@pytest.mark.parametrize("off_s", [-BEHIND_S, 0.0, AHEAD_S])
def test_a_stamp_from_24_hours_behind_to_2_minutes_ahead_is_believed(off_s: float) -> None:
    assert believed(NOON_S + off_s, NOON_S) == NOON_S + off_s


@pytest.mark.parametrize(
    ("at_s", "sentence"),
    [
        (NOON_S - BEHIND_S - 1, "The time 2026-11-01T11:59:59Z lies more than 24 hours before the message came."),
        (NOON_S + AHEAD_S + 1, "The time 2026-11-02T12:02:01Z lies more than 2 minutes after the message came."),
        (1e300, "The time 1e+300 lies more than 2 minutes after the message came."),
    ],
)
def test_a_stamp_outside_is_never_stamped_anew(at_s: float, sentence: str) -> None:
    with pytest.raises(Unreadable) as caught:
        believed(at_s, NOON_S)
    assert caught.value.unread.sentence == sentence
