"""Which pictures a watch has on its page."""

from dataclasses import replace

from tests.web.rounds import HOUR, LONDON, NOW, figures, seen, wound
from tracker.core.offer import Offer
from tracker.core.reserve import estimate, prior_for
from tracker.core.timeline import Sighting, Wind
from tracker.figures import Figures
from tracker.web.drawing import drawn


def pictures(each: Figures) -> tuple[bool, bool]:
    found = drawn(each, 0.1, NOW, LONDON)
    return found.run is not None, found.rundowns is not None


def test_nothing_noted_nothing_drawn() -> None:
    assert pictures(figures("Night ferry")) == (False, False)


def test_a_run_that_counts_is_drawn() -> None:
    assert pictures(figures("Night ferry", wound(20), seen(2))) == (True, False)


def test_a_part_wind_has_no_chance_to_draw() -> None:
    part = Wind(uid="part", at=NOW - HOUR, zone="UTC", amount="part")
    assert pictures(figures("Night ferry", part)) == (False, False)


def test_a_watch_that_has_stopped_has_no_run_to_draw() -> None:
    stopped = Sighting(uid="stop", at=NOW - HOUR, zone="UTC", seen="stopped")
    assert pictures(figures("Night ferry", wound(50), stopped)) == (False, False)
    assert pictures(figures("Night ferry", wound(500))) == (False, False)


def test_figures_that_the_log_has_left_behind_draw_no_history() -> None:
    each = figures("Night ferry", wound(50), wound(20))
    full = replace(each, estimate=estimate(each.segment.runs, prior_for(40.0), now_years=each.segment.now_years))
    assert pictures(full) == (True, True)
    assert pictures(replace(full, behind=True)) == (True, False)


def test_an_estimate_without_its_course_leaves_the_history_out() -> None:
    each = figures("Night ferry", wound(50), wound(20))
    assert pictures(replace(each, estimate=replace(each.estimate, history=None))) == (True, False)


def test_a_run_left_to_go_for_a_look_is_marked_with_the_look_and_no_wind_by() -> None:
    each = replace(figures("Night ferry", wound(2)), offer=Offer(NOW + 40 * HOUR, 42.0, 0.5, hands=True))
    run = drawn(each, 0.1, NOW, LONDON).run
    assert run is not None
    assert run.key[0][1].startswith("look at it ")
    assert "wind by" not in str(run)
