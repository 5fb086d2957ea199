"""What the reserve of a watch was before its last service, by the runs of then."""

from dataclasses import dataclass, replace
from datetime import datetime

from tracker.core.reserve import Estimate
from tracker.core.rundown import History
from tracker.core.segment import Segment, present_segment
from tracker.core.watch import Watch
from tracker.workedout import work_out_estimate


@dataclass(frozen=True, slots=True)
class Before:
    """The estimate as it stood at the last service, and the runs it rests on."""

    service_at: datetime
    segment: Segment
    estimate: Estimate


def before_service(watch: Watch, history: History, threshold: float) -> Before | None:
    """Work it out; None without a service, or where no run before it tells anything."""
    if not history.services:
        return None
    *earlier, last = history.services
    runs = tuple(run for run in history.runs if run.service_at != last)
    if not any(run.evidence.spans_h for run in runs):
        return None
    then = replace(history, runs=runs, services=tuple(earlier), current=None)
    segment = present_segment(then, last)
    if not any(run.evidence.spans_h for run in segment.runs):
        return None
    return Before(last, segment, work_out_estimate(watch, segment, threshold))
