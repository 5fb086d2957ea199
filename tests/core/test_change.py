import math
import random

import numpy as np
import pytest

from tracker.core import change, lattice
from tracker.core.change import Changed, Gaps, changed, spans
from tracker.core.evidence import Evidence, at_least, between, exact
from tracker.core.likelihood import Plane, Run, rows_of
from tracker.core.normal import FloatArray, Floats
from tracker.core.prior import prior_for
from tracker.core.reserve import estimate
from tracker.core.steady import steady
from tracker.core.windby import hours_at_risk

PRIOR = prior_for(42.0)
DROPPED = [Run(0.1 * i, exact((41.0 if i < 12 else 31.0) + 0.3 * (i % 4))) for i in range(1, 20)]


def found_in(runs: list[Run], now_years: float = 2.0) -> Changed | None:
    rows = rows_of(runs, 42.0)
    return changed(rows, PRIOR, now_years, math.log(0.9), steady(rows, PRIOR, now_years))


@pytest.mark.parametrize("runs", [[], DROPPED[:1], [DROPPED[0]] * 3])
def test_without_two_ages_there_is_no_gap(runs: list[Run]) -> None:
    assert found_in(runs) is None


def test_a_steady_watch_with_a_hundred_stops_leaves_little_chance() -> None:
    runs = [Run(0.02 * i, exact(41.0 + 0.1 * (i % 4))) for i in range(1, 100)]
    found = found_in(runs)
    rival = steady(rows_of(runs, 42.0), PRIOR, 2.0)
    assert found is None or found.mass.sum() * math.exp(found.log_scale - rival.log_scale) < 0.01 * rival.total


def test_a_drop_is_found_at_its_size() -> None:
    found = found_in(DROPPED)
    assert found is not None
    share = found.mass / found.mass.sum()
    before = float((share.sum((0, 3)) * found.before.level_at(0.0)).sum())
    after = float((share.sum((0, 2)) * found.after.level_at(0.0)).sum())
    assert after - before == pytest.approx(math.log(31.45 / 41.45), abs=0.03)
    assert found.fallen == pytest.approx(found.mass.sum(), rel=1e-3)


def rotated(count: int, seed: int, per_year: float) -> list[Run]:
    """Found stopped within half a day, now and then still going."""
    rng = random.Random(seed)
    found = []
    for i in range(count):
        age = 2.0 * (i + 1) / (count + 1)
        hours = 41.0 * math.exp(rng.gauss(per_year * age, 0.03))
        found.append(
            Run(age, at_least(24.0) if i % 5 == 0 else between(hours - rng.uniform(1, 11), hours + rng.uniform(1, 11)))
        )
    return found


@pytest.mark.parametrize(("count", "seed", "per_year"), [(60, 1, 0.0), (60, 2, -0.03), (150, 3, -0.02), (300, 4, 0.0)])
def test_an_unlikely_change_weighed_roughly_is_weighed_as_closely_as_anyone_asks(
    count: int, seed: int, per_year: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    runs = rotated(count, seed, per_year)
    rough = estimate(runs, PRIOR, now_years=2.0)
    for name, value in {
        "UNLIKELY": 0.0,
        "HARDLY": 0.0,
        "PER_SD": ((0.0, (0.9, 1.6, 2.2, 2.2)),),
    }.items():
        monkeypatch.setattr(change, name, value)
    # The boxes of an unlikely change are narrower, too: here they are not.
    monkeypatch.setattr(lattice, "KEPT_AT_LAST", 1e-7)
    close = estimate(runs, PRIOR, now_years=2.0)
    assert close.sudden_probability < 0.1
    assert rough.sudden_probability == pytest.approx(close.sudden_probability, abs=0.002)
    assert rough.fall_probability == pytest.approx(close.fall_probability, abs=0.002)
    assert (rough.reserve_h.low, rough.reserve_h.high) == pytest.approx(
        (close.reserve_h.low, close.reserve_h.high), rel=0.001
    )
    for risk, within in ((0.01, 0.004), (0.05, 0.001)):
        by = [hours_at_risk(each.next_run, risk) for each in (rough, close)]
        assert by[0] == pytest.approx(by[1], rel=within)


def test_a_gap_cut_in_two_by_a_run_that_tells_little_holds_as_much() -> None:
    one, other = found_in(DROPPED), found_in([*DROPPED, Run(1.17, at_least(2.0))])
    assert one is not None
    assert other is not None
    logs = [math.log(found.mass.sum()) + found.log_scale for found in (one, other)]
    assert logs[0] == pytest.approx(logs[1], abs=0.02)


@pytest.mark.parametrize("count", [2, 3, 10, 100, 1_000, 10_000])
def test_every_gap_lies_in_one_span_and_those_at_the_ends_stand_alone(count: int) -> None:
    gaps = spans(np.arange(count) / 10.0, 0.03)
    assert list(gaps.first[1:]) == list(gaps.last[:-1])
    assert (gaps.first[0], gaps.last[-1]) == (0, count - 1)
    assert gaps.single[:3].all()
    assert gaps.single[-3:].all()
    assert gaps.first.size <= 25 * math.log10(count)
    assert np.exp(gaps.log_share).sum() == pytest.approx(0.03 * (count - 1) / 10.0)


def test_a_span_is_cut_until_its_gaps_stand_alone() -> None:
    gaps = Gaps(np.arange(11.0), np.array([0, 1]), np.array([1, 10]), 0.1)
    assert list(gaps.parted_age) == [0.0, 5.0]
    while not gaps.single.all():
        gaps = gaps.cut(~gaps.single)
    assert list(gaps.first) == list(range(10))
    assert list(gaps.parted_age) == list(gaps.after_age) == list(range(10))


def test_a_drop_among_hundreds_of_runs_is_found_between_the_two_that_show_it() -> None:
    runs = [Run(0.005 * i, exact((41.0 if i < 243 else 33.0) + 0.3 * (i % 4))) for i in range(1, 400)]
    found = found_in(runs)
    assert found is not None
    fullest = int(found.by_gap.argmax())
    assert (found.gaps.after_age[fullest], found.gaps.until_age[fullest]) == pytest.approx((1.21, 1.215))
    assert found.by_gap[fullest] > 0.99 * found.by_gap.sum()


def read_late() -> list[Run]:
    """A watch that dropped: its stops were seen before, and since then only read off its hands days later."""
    throws, runs = random.Random(3), []
    for place in range(60):
        stop = (41.0 if place < 30 else 33.0) * throws.lognormvariate(0.0, 0.025)
        moments = tuple((stop + 12 * n - 0.2, stop + 12 * n + 0.2) for n in range(-2, 5))
        runs.append(Run(0.04 * place, exact(stop) if place < 30 else Evidence("one_of", moments)))
    return runs


def cut_in_two(parts: np.ndarray) -> np.ndarray:
    """The first part without its middle."""
    (low, high), *others = parts
    by = 0.1 * (high - low)
    middle = 0.5 * (low + high)
    return np.array([(low, middle - by), (middle + by, high), *others])


def test_levels_left_out_between_humps_change_nothing_and_a_hump_that_is_cut_is_seen(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rows, real = rows_of(read_late(), 42.0), lattice.parts
    rival = steady(rows, PRIOR, 2.5)

    def asked() -> Changed:
        found = changed(rows, PRIOR, 2.5, math.log(0.9), rival)
        assert found is not None
        return found

    by_parts = asked()
    monkeypatch.setattr(lattice, "parts", lambda *_: np.array([[-math.inf, math.inf]]))
    whole = asked()
    monkeypatch.setattr(lattice, "parts", lambda *of: cut_in_two(real(*of)))
    seen = asked()
    assert len(by_parts.after.parts) == 2
    assert by_parts.mass.size < 0.5 * whole.mass.size == 0.5 * seen.mass.size
    share, expected = by_parts.mass / by_parts.mass.sum(), whole.mass / whole.mass.sum()
    for axes, level, other in (((0, 1, 3), by_parts.before, whole.before), ((0, 1, 2), by_parts.after, whole.after)):
        assert share.sum(axes) @ level.level == pytest.approx(expected.sum(axes) @ other.level, abs=1e-4)
    logs = [math.log(found.mass.sum()) + found.log_scale for found in (by_parts, whole, seen)]
    assert logs == pytest.approx([logs[1]] * 3, abs=1e-4)


@pytest.mark.parametrize("searched", [False, True])
def test_where_no_drop_leads_from_one_level_to_another_there_is_no_change(
    monkeypatch: pytest.MonkeyPatch, *, searched: bool
) -> None:
    runs = [Run(0.02 * place, exact(41.0 if place < 40 else 33.0)) for place in range(80)]
    assert found_in(runs, 1.7) is not None
    real = change.drop_share

    def none_left(before: Plane, after: Plane, drop_high: FloatArray | float) -> Floats:
        share = real(before, after, drop_high)
        return share if searched and share.shape[1:] == change.SEARCH[2:] else np.zeros_like(share)

    monkeypatch.setattr(change, "drop_share", none_left)
    assert found_in(runs, 1.7) is None
