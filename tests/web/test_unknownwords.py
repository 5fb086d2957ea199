"""What cannot be known, in plain words."""

from dataclasses import replace

from tests.web.rounds import NOW, figures, wound
from tracker.core.evidence import Evidence, at_least, exact
from tracker.core.likelihood import Run
from tracker.core.segment import Segment
from tracker.figures import Figures
from tracker.web.unknownwords import cannot_know, of_any_log, of_this_log


def after(*told: Evidence, serviced: bool = True) -> Figures:
    """A watch with runs that told this."""
    each = figures("Night ferry", wound(2))
    kinds = [one.kind for one in told]
    runs = tuple(Run(0.1, one) for one in told)
    segment = Segment(since=NOW, serviced=serviced, runs=runs, asked_at=NOW, now_years=1.0)
    return replace(each, segment=segment, estimate=replace(each.estimate, evidence={k: kinds.count(k) for k in kinds}))


def test_a_lower_bound_is_called_one_and_the_upper_end_traced() -> None:
    (said,) = of_this_log(after(at_least(24.0), at_least(26.3)))
    assert said == (
        "Only a lower bound: nothing seen so far says how long it runs, only that it is at least 26.3 h; the upper end "
        "comes from a day or two, for no reserve is stated."
    )


def test_stops_never_seen_going_before_say_nothing_from_below() -> None:
    (said,) = of_this_log(after(Evidence("at_most", ((0.0, 50.0),))))
    assert said.startswith("Nothing is known from below")


def test_nothing_seen_is_said_to_be_nothing() -> None:
    assert of_this_log(after()) == ["Nothing is known from this watch itself yet."]


def test_hands_leave_half_a_day_open_only_where_they_do() -> None:
    both, one = ((28.0, 28.2), (40.0, 40.2)), ((40.0, 40.2),)
    assert any("twelve hours" in said for said in of_this_log(after(Evidence("one_of", both))))
    assert not any("twelve hours" in said for said in of_this_log(after(Evidence("one_of", one))))


def test_with_many_exact_ends_the_shape_of_the_scatter_is_the_limit() -> None:
    assert any("± 0.6 %" in said for said in of_this_log(after(*[exact(40.0)] * 20)))
    assert not any("± 0.6 %" in said for said in of_this_log(after(*[exact(40.0)] * 19)))


def test_without_a_service_its_age_is_told_to_count_from_its_first_run() -> None:
    assert any("No service is noted" in said for said in of_this_log(after(exact(40.0), serviced=False)))


def test_what_no_log_tells_is_said_of_every_watch() -> None:
    said = cannot_know(after(exact(40.0)))
    assert said[-3:] == of_any_log(after(exact(40.0)))
    assert "never shorter" in said[-2]
    assert "bridle" in said[-1]
    assert len(of_any_log(after())) == 2
