import math

import pytest

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact, only_a_lower_bound


@pytest.mark.parametrize(
    ("evidence", "spans_h", "ended"),
    [
        (exact(41.3), ((41.3, 41.3),), True),
        (between(26, 38), ((26, 38),), True),
        (at_most(38), ((0, 38),), True),
        (at_least(26), ((26, math.inf),), False),
        (Evidence("one_of", ((29.5, 29.7), (41.5, 41.7))), ((29.5, 29.7), (41.5, 41.7)), True),
        (NONE, (), False),
    ],
)
def test_each_kind_says_where_the_stop_lies_and_whether_it_came(
    evidence: Evidence, spans_h: tuple[tuple[float, float], ...], *, ended: bool
) -> None:
    assert (evidence.spans_h, evidence.ended) == (spans_h, ended)


@pytest.mark.parametrize(
    ("counts", "only"),
    [
        ({"at_least": 3, "exact": 0}, True),
        ({"at_least": 3, "at_most": 1}, False),
        ({"one_of": 1, "at_least": 3}, False),
        ({"at_least": 0}, False),
        ({}, False),
    ],
)
def test_runs_that_never_ended_are_only_a_lower_bound(counts: dict[str, int], *, only: bool) -> None:
    assert only_a_lower_bound(counts) is only
