"""Another watch on the sensor, told by its beats."""

from sensors.kinds import Beats, Level
from sensors.misfit import misfit
from sensors.rest import Setup, Span, fold

OWN = Setup(Beats(vph=18_000, tolerance=0.05, window_s=60), 60.0)
OTHERS = 480.0
"""28,800 an hour."""


def beats(count: float, first: int, last: int) -> list[tuple[float, float]]:
    return [(60.0 * minute, count) for minute in range(first, last + 1)]


def test_the_newest_beats_that_fit_nothing_are_another_watch() -> None:
    assert misfit(OWN, beats(300, 1, 10) + beats(OTHERS, 11, 20)) == (660.0, 1200.0)
    assert misfit(OWN, beats(OTHERS, 1, 10) + beats(300, 11, 20)) is None
    assert misfit(OWN, []) is None


def test_one_odd_count_is_no_other_watch() -> None:
    assert misfit(OWN, [*beats(300, 1, 10), *beats(OTHERS, 11, 12)]) is None


def test_a_level_fits_whatever_it_is() -> None:
    assert misfit(Setup(Level(0.7, 0.2), 60.0), beats(0.5, 1, 10)) is None


def test_while_another_watch_lies_there_nothing_is_known_of_its_own() -> None:
    """A gap like any other: what was heard before it ends there as unknown, and what comes after begins anew."""
    _, found = fold(OWN, beats(300, 1, 10) + beats(OTHERS, 11, 20) + beats(300, 21, 30) + beats(0, 31, 40))
    assert found[0] == Span("going", 60.0, 600.0, "unknown")
    assert [each.from_s for each in found[1:] if isinstance(each, Span)] == [1260.0]
