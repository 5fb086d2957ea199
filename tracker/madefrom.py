"""What an estimate is made from, as a short mark: where the mark is the same, so is the estimate.

Most entries leave it as it was: that a watch was seen going tells of the present run, and only ended runs are evidence.
"""

import marshal
from dataclasses import astuple
from hashlib import blake2b
from typing import Any

from tracker.core.prior import Prior
from tracker.core.segment import Segment
from tracker.core.telling import Look

FORM = 2
"""Of marshal: a later one would tell equal values apart by whether they are the same object."""


def made_from(segment: Segment, prior: Prior, threshold: float, least_h: float | None, look: Look | None) -> str:
    """The mark of all that an estimate under one model depends on."""
    runs = [(run.age_years, run.evidence.kind, run.evidence.spans_h) for run in segment.runs]
    asked = segment.now_years, threshold, least_h, look and astuple(look)
    whole: Any = runs, astuple(prior), asked
    return blake2b(marshal.dumps(whole, FORM), digest_size=16).hexdigest()
