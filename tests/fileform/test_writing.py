import json

import pytest

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact
from tracker.core.reserve import Run, estimate, prior_for
from tracker.core.watch import ReserveClass
from tracker.fileform.reserve import answer
from tracker.fileform.writing import document

RUNS = [
    Run(0.1, exact(41.0)),
    Run(0.2, between(30.0, 44.5)),
    Run(0.3, at_least(26.25)),
    Run(0.4, at_most(50.0)),
    Run(0.5, Evidence("one_of", ((29.5, 29.7), (41.5, 41.8)))),
    Run(0.6, NONE),
]


@pytest.mark.parametrize(("stated_h", "reserve_class"), [(42.0, None), (None, "three days"), (None, None)])
def test_what_is_written_is_answered_with_the_same_figures(
    stated_h: float | None, reserve_class: ReserveClass | None
) -> None:
    form = document(RUNS, now_years=1.0, stated_h=stated_h, reserve_class=reserve_class, seen_going_h=12.0)
    given = answer(json.loads(json.dumps(form)))
    found = estimate(RUNS, prior_for(stated_h, reserve_class), now_years=1.0)
    assert given["reserve_h"]["mid"] == pytest.approx(found.reserve_h.mid, abs=1e-4)
    assert given["evidence"] == {"exact": 1, "between": 1, "at_least": 1, "at_most": 1, "one_of": 1}
    assert given["left_out"] == 1
