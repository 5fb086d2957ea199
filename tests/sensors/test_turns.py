import pytest
from hypothesis import given
from hypothesis import strategies as st

from sensors.turns import HOUR_S, Hour, Piece, pour


def test_a_piece_is_shared_out_by_the_time_it_spends_in_each_hour() -> None:
    open_hour, over = pour(None, [Piece(1800.0, 9000.0, 120.0, "clockwise")])
    assert over == [Hour(0, 30.0, heard_s=1800.0), Hour(1, 60.0, heard_s=3600.0)]
    assert open_hour == Hour(2, 30.0, heard_s=1800.0)


def test_turns_of_a_silence_are_told_as_bridged() -> None:
    open_hour, _ = pour(Hour(0, heard_s=1200.0), [Piece(1200.0, 3600.0, 8.0, bridged=True)])
    assert open_hour == Hour(0, not_known=8.0, heard_s=1200.0, bridged_s=2400.0)


@given(st.lists(st.tuples(st.floats(1.0, 20_000.0), st.floats(0.0, 500.0)), min_size=1, max_size=20))
def test_no_turn_is_lost_and_none_is_made_by_sharing(steps: list[tuple[float, float]]) -> None:
    pieces, at_s = [], 0.0
    for length_s, turns in steps:
        pieces.append(Piece(at_s, at_s + length_s, turns, "anticlockwise"))
        at_s += length_s
    open_hour, over = pour(None, pieces)
    assert open_hour is not None
    hours = [*over, open_hour]
    assert sum(hour.anticlockwise for hour in hours) == pytest.approx(sum(turns for _, turns in steps))
    assert sum(hour.known_s for hour in hours) == pytest.approx(at_s)
    assert [hour.hour for hour in hours] == list(range(int(at_s // HOUR_S) + (at_s % HOUR_S > 0)))
