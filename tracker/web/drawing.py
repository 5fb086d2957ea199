"""Which pictures a watch has on its page."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker.figures import Figures
from tracker.plots.picture import Picture
from tracker.plots.run import present_run
from tracker.plots.rundowns import rundowns
from tracker.web import reservewords, runwords


@dataclass(frozen=True, slots=True)
class Drawn:
    """The pictures of one watch; None where there is nothing to draw."""

    run: Picture | None
    rundowns: Picture | None


def drawn(each: Figures, threshold: float, now: datetime, zone: ZoneInfo) -> Drawn:
    """Draw its present run and its run-downs; `threshold` is the share of the reserve whose loss counts as a fall."""
    return Drawn(run=_run(each, now, zone), rundowns=_rundowns(each, threshold, now, zone))


def _rundowns(each: Figures, threshold: float, now: datetime, zone: ZoneInfo) -> Picture | None:
    """Not from figures that the log has left behind: a service since then would put them on the wrong years."""
    if each.behind:
        return None
    return rundowns(
        each.history,
        each.segment,
        each.estimate,
        threshold=threshold,
        least_h=each.watch.least_reserve_h,
        held_uid=each.held.run_uid if each.held else None,
        told=lambda run: runwords.told(run, reservewords.reserve_then(each, run).mid),
        now=now,
        zone=zone,
    )


def _run(each: Figures, now: datetime, zone: ZoneInfo) -> Picture | None:
    run, wind_by, asked = each.run, each.standing.wind_by, "wind by"
    if each.offer is not None:
        wind_by, asked = each.offer.at, "look at it"
    if run is None or wind_by is None or each.standing.word == "stopped":
        return None
    return present_run(run, each.curve, wind_by=wind_by, asked=asked, now=now, zone=zone)
