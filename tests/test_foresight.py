"""What runs foretell of the next one."""

from tracker.core.evidence import exact
from tracker.core.likelihood import Run
from tracker.core.watch import Watch
from tracker.foresight import earliest, prior_of, too_long


def test_a_run_counts_from_the_one_per_cent_point_and_is_too_long_from_the_97_5_per_cent_point() -> None:
    prior = prior_of(Watch(uid="w", nickname="Night ferry", stated_reserve_h=40.0))
    runs = tuple(Run(0.1 * number, exact(40.0 + 0.5 * (number % 3))) for number in range(12))
    first, points = earliest(prior, runs, 1.2), too_long(prior, runs, 1.2)
    assert 35 < first < 40 < points.missing_h < points.held_h < 45
    assert earliest(prior, (), 0.0) < first


def test_without_a_stated_reserve_its_class_is_what_is_thought() -> None:
    assert prior_of(Watch(uid="w", nickname="Night ferry", reserve_class="eight days")).scale_h == 192.0
