import math

import numpy as np
import pytest

from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.likelihood import ODD_CENTRE, ODD_SHARE, ODD_SPREAD, Run
from tracker.core.paths import drawn
from tracker.core.posterior import level_now
from tracker.core.prior import prior_for
from tracker.core.reserve import posterior_of, reserve_now
from tracker.core.telling import Looks, looks

PRIOR = prior_for(42.0)
NOW_YEARS = 1.0
DAILY = [Run(0.1 * i, at_least(20.0 + i % 8)) for i in range(1, 10)]
ENDED = [*DAILY, Run(0.4, exact(40.0)), Run(0.9, exact(39.0))]


def weighed(runs: list[Run], seen_going_h: float = 0.0, dial_hours: int = 12) -> Looks:
    """The looks at a run after these."""
    found = level_now(posterior_of(runs, PRIOR, now_years=NOW_YEARS), NOW_YEARS)
    return looks(*found, 42.0, seen_going_h=seen_going_h, dial_hours=dial_hours)


def lasting(runs: list[Run], more_than_h: float) -> tuple[list[float], list[float]]:
    """How long the present run may last, drawn from what is known, and what each counts for: odd ones are rare."""
    rng = np.random.default_rng(20)
    paths = drawn(posterior_of(runs, PRIOR, now_years=NOW_YEARS), PRIOR, NOW_YEARS)
    clean = paths.level_at(NOW_YEARS) + np.exp(paths.log_sigma) * rng.normal(size=paths.level.size)
    odd = ODD_CENTRE + ODD_SPREAD * rng.normal(size=clean.size)
    found, counts = list[float](), list[float]()
    for share, logs, count in ((1.0 - ODD_SHARE, clean, 36), (ODD_SHARE, odd, 12)):
        hours = 42.0 * np.exp(logs)
        longer = rng.permutation(hours[hours > more_than_h])
        found += longer[:count].tolist()
        counts += [share * longer.size / count] * count
    return found, (np.array(counts) / sum(counts)).tolist()


def left(runs: list[Run], noted: list[Run], before: float, counts: list[float]) -> tuple[float, float]:
    """The share of the doubt left on average by runs so noted, and how far off that may be by chance."""
    shares = np.array([doubt([*runs, run]) for run in noted]) / before
    mean = float(np.average(shares, weights=counts))
    spread = float(np.average((shares - mean) ** 2, weights=counts)) ** 0.5
    return mean, spread * float(np.square(counts).sum()) ** 0.5


def seen(lasted_h: float, look_h: float, seen_going_h: float, *, hands: bool) -> Evidence:
    """What the log then says of the run."""
    if lasted_h > look_h:
        return at_least(look_h)
    if not hands:
        return between(seen_going_h, look_h) if seen_going_h else at_most(look_h)
    moments = [lasted_h + 12.0 * rounds for rounds in range(-10, 11)]
    return Evidence("one_of", tuple((h - 0.1, h + 0.1) for h in moments if seen_going_h < h < look_h))


def doubt(runs: list[Run]) -> float:
    """Width of the band of log reserve."""
    band = reserve_now(runs, PRIOR, now_years=NOW_YEARS)
    return math.log(band.high / band.low)


@pytest.mark.parametrize(
    ("runs", "look_h", "seen_going_h", "hands"),
    [([], 38.0, 0.0, False), ([], 40.0, 0.0, True), (DAILY, 44.0, 30.0, True), (DAILY, 62.0, 0.0, True)],
    ids=["nothing known", "nothing known, hands", "daily, seen at 30 h, hands", "daily, very late, hands"],
)
def test_what_a_look_leaves_is_what_runs_so_noted_leave(
    runs: list[Run], look_h: float, seen_going_h: float, *, hands: bool
) -> None:
    lasted, counts = lasting(runs, seen_going_h)
    noted = [Run(NOW_YEARS, seen(h, look_h, seen_going_h, hands=hands)) for h in lasted]
    before = doubt([*runs, Run(NOW_YEARS, at_least(seen_going_h))] if seen_going_h else runs)
    mean, error = left(runs, noted, before, counts)
    assert error < 0.05
    assert weighed(runs, seen_going_h).left([look_h], hands=hands)[0] == pytest.approx(mean, abs=3.0 * error)


def test_hands_read_within_a_round_of_the_stop_leave_what_an_exact_run_leaves() -> None:
    lasted, counts = lasting(DAILY, 0.0)
    mean, error = left(DAILY, [Run(NOW_YEARS, exact(h)) for h in lasted], doubt(DAILY), counts)
    assert error < 0.05
    assert weighed(DAILY).run_out == pytest.approx(mean, abs=3.0 * error)


@pytest.mark.parametrize("runs", [[], DAILY], ids=["nothing", "daily"])
def test_no_look_tells_more_than_letting_it_run_out(runs: list[Run]) -> None:
    found = weighed(runs)
    assert found.run_out <= min(found.with_hands) + 0.01
    assert min(found.with_hands) <= min(found.without_hands) + 0.01


def test_a_look_before_anything_can_have_stopped_tells_nothing() -> None:
    found = weighed(ENDED)
    assert found.left([1.0], hands=True)[0] == pytest.approx(1.0, abs=0.1)


def test_the_better_a_watch_is_known_the_less_a_look_tells() -> None:
    assert weighed(DAILY).run_out < 0.5 < weighed(ENDED).run_out


def test_a_dial_of_24_hours_is_read_with_less_doubt_late() -> None:
    late = [60.0]
    assert weighed(DAILY, dial_hours=24).left(late, hands=True)[0] < weighed(DAILY).left(late, hands=True)[0] - 0.1


def test_looks_come_after_the_last_one() -> None:
    assert weighed(DAILY, seen_going_h=41.0).from_h == pytest.approx(41.0)


def test_a_clock_of_a_month_is_weighed_in_as_many_steps_as_any() -> None:
    known = level_now(posterior_of([], prior_for(None, "a month"), now_years=0.0), 0.0)
    found = looks(*known, 744.0)
    assert len(found.with_hands) < 500
    assert found.from_h < 500.0
    assert found.to_h > 900.0
