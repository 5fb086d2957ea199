from dataclasses import replace

from sensors.kinds import Beats, Boolean, Level
from sensors.track import read_as
from sensors.winder import Turning
from tests.sensors.sensing import rest_sensor

SHELF = rest_sensor()


def test_other_thresholds_or_times_leave_the_meaning_of_a_value_as_it_is() -> None:
    level = replace(SHELF, reports=Level(2, 1))
    assert read_as(level) == read_as(replace(level, reports=Level(5, 4), expected_s=10, name="other", version=7))
    assert read_as(SHELF) == read_as(replace(SHELF, form=replace(SHELF.form, time_at=None)))
    beats = replace(SHELF, reports=Beats(21_600, 0.1, 10))
    assert read_as(beats) == read_as(replace(beats, reports=Beats(28_800, 0.2, 10)))


def test_what_is_read_otherwise_means_something_else() -> None:
    others = [
        replace(SHELF, reports=Level(2, 1)),
        replace(SHELF, reports=Beats(21_600, 0.1, 10)),
        replace(SHELF, reports=Beats(21_600, 0.1, 20)),
        replace(SHELF, reports=Turning(2.0)),
        replace(SHELF, reports=Turning(3.0)),
        replace(SHELF, form=replace(SHELF.form, value_at=("other",))),
        replace(SHELF, form=replace(SHELF.form, going_words=("ja",))),
    ]
    assert len({read_as(sensor) for sensor in [SHELF, *others]}) == len(others) + 1
    assert isinstance(SHELF.reports, Boolean)
