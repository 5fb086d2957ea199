"""The drawing for paper: what each run is drawn as, and where."""

import re
from collections.abc import Iterator
from datetime import timedelta

import pytest

from tests.web.declines import FALLING, declined
from tests.web.rounds import LONDON, NOW, figures, wound
from tracker.figures import Figures, one
from tracker.plots.frame import Frame
from tracker.plots.marks import Form
from tracker.store.store import Store
from tracker.web import papercourse
from tracker.web.papercourse import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, Paper, Scale, hour_ticks, paper, sample

FRAME = Frame(start=NOW - timedelta(days=100), end=NOW, low_h=30.0, high_h=50.0, unit_h=1.0)
SCALE = Scale(FRAME, NOW)


@pytest.fixture
def falling(store: Store) -> Figures:
    return one(store, declined(store, "Workshop spare", FALLING), NOW)


@pytest.fixture
def drawn(falling: Figures) -> Paper:
    found = paper(falling, 0.1, NOW, LONDON)
    assert found is not None
    return found


def points(path: str) -> Iterator[tuple[float, float]]:
    for x, y in re.findall(r"[ML](-?[\d.]+),(-?[\d.]+)", path):
        yield float(x), float(y)


def test_places_are_even_in_time_and_in_hours() -> None:
    assert [SCALE.x(NOW - timedelta(days=days)) for days in (100, 50, 0)] == [
        LEFT,
        (LEFT + WIDTH - RIGHT) / 2,
        WIDTH - RIGHT,
    ]
    assert [SCALE.y(hours) for hours in (30, 40, 50)] == [HEIGHT - BOTTOM, (HEIGHT - BOTTOM + TOP) / 2, TOP]
    assert (SCALE.y(10), SCALE.y(90)) == (HEIGHT - BOTTOM, TOP)


def test_hours_are_marked_by_few_round_numbers_in_the_unit_of_the_frame() -> None:
    assert hour_ticks(FRAME) == [(30.0, "30"), (35.0, "35"), (40.0, "40"), (45.0, "45"), (50.0, "50")]
    days = Frame(start=NOW, end=NOW, low_h=150.0, high_h=220.0, unit_h=24.0)
    assert hour_ticks(days) == [(168.0, "7"), (192.0, "8"), (216.0, "9")]


def test_everything_lies_within_the_drawing_and_the_band_holds_its_middle(drawn: Paper) -> None:
    paths = [drawn.band, drawn.middle, *(shape.path for shape in drawn.shapes)]
    for x, y in (point for path in paths for point in points(path)):
        assert LEFT - 5 <= x <= WIDTH
        assert 0 <= y <= HEIGHT
    band, middle = list(points(drawn.band)), list(points(drawn.middle))
    high, low = band[: len(middle)], band[len(middle) :][::-1]
    assert all(top[1] <= mid[1] <= bottom[1] for top, mid, bottom in zip(high, middle, low, strict=True))
    assert middle[0][1] < middle[-1][1]
    assert middle == sorted(middle)


def test_each_kind_of_run_has_its_form_and_the_key_names_those_that_are_there(drawn: Paper) -> None:
    assert {shape.form for shape in drawn.shapes} == {shape.form for shape, _ in drawn.key}
    assert len(drawn.services) == 1
    assert drawn.sentence.endswith(".")


@pytest.mark.parametrize(("form", "up"), [("up", True), ("down", False)])
def test_at_least_and_at_most_thin_out_the_way_they_are_open(form: Form, *, up: bool) -> None:
    left, right, tip = points(sample(form).path)
    assert left[1] == right[1]
    assert right[0] - left[0] == pytest.approx(2 * papercourse.HALF_BASE)
    assert (tip[1] < left[1]) is up


def test_nothing_known_and_figures_behind_their_log_are_not_drawn() -> None:
    assert paper(figures("a", wound(3.0)), 0.1, NOW, LONDON) is None
