import random
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tracker.core.rounds import search
from tracker.core.rounds.bridges import Network, bridged, network
from tracker.core.rounds.problem import Kept, Problem, problem
from tracker.core.rounds.search import fewest_windings

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)


def a_fortnight(seed: int, watches: int) -> tuple[Problem, Network]:
    draw = random.Random(seed)
    kept = []
    for place in range(watches):
        lasts_h = draw.uniform(26, 90)
        kept.append(Kept(f"w{place}", NOW + draw.uniform(2, lasts_h) * HOUR, lasts_h))
    rounds = [NOW + (24 * day + hour) * HOUR for day in range(14) for hour in (1.5, 7, 13)]
    found = problem(kept, rounds, NOW, NOW + 14 * 24 * HOUR, timedelta(0))[1]
    net = network(bridged(found, 0), np.zeros(len(rounds), dtype=bool))
    assert net is not None
    return found, net


def test_no_way_has_more_windings_than_allowed() -> None:
    found, net = a_fortnight(1, 12)
    best = fewest_windings(found, net, 0)
    assert best is not None
    assert fewest_windings(found, net, 0, best.windings) == best
    assert fewest_windings(found, net, 0, best.windings - 1) is None


@pytest.mark.parametrize("seed", range(4))
def test_cut_short_it_says_how_far_from_the_fewest_it_may_be(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    found, net = a_fortnight(seed, 40)
    exact = fewest_windings(found, net, 0)
    monkeypatch.setattr(search, "BEAM", 1)
    monkeypatch.setattr(search, "MOST_LABELS", 1)
    cut = fewest_windings(found, net, 0)
    assert exact is not None
    assert cut is not None
    assert exact.within == 0
    assert cut.windings - cut.within <= exact.windings <= cut.windings
    assert len(cut.open) == len(exact.open) == net.fewest
