"""What is found of a watch's decline, as values for other programs."""

from dataclasses import asdict
from typing import Any

from tracker.core.decline import Forecast
from tracker.core.nextdue import Due
from tracker.web.serviceview import Subject


def values_of(each: Subject) -> dict[str, Any]:
    """One watch for other programs; shares are parts of one, years those since the service, dates ISO 8601."""
    seen, cue = each.finding, each.cue
    return {
        "uid": each.each.watch.uid,
        "watch": each.nickname,
        "found": each.word,
        "step": cue.cue.step if cue else None,
        "quiet_until": cue.cue.quiet_until.isoformat() if cue and cue.cue.quiet_until else None,
        "evidence": {
            "enough": seen.evidence == "enough",
            "stops": seen.stops,
            "at_most": seen.at_most,
            "at_least": seen.going,
            "low_amplitude_deg": seen.low_amplitude.value if seen.low_amplitude else None,
        },
        "lost": asdict(seen.lost),
        "probability": {"once": seen.falls.once, "twice": seen.falls.twice, "below_least": seen.falls.below},
        "sudden_probability": seen.sudden_probability,
        "threshold_reached": _dates(seen.reached),
        "least_reached": _dates(seen.least),
        "years": seen.years,
        "serviced": seen.serviced,
        "due_at": seen.due_at.isoformat() if seen.due_at else None,
        "next_due": _due(each.next_due.first),
        "patterns": [type(pattern).__name__ for pattern in seen.patterns],
    }


def _due(first: Due | None) -> dict[str, Any] | None:
    if first is None:
        return None
    at, high = (each.isoformat() if each else None for each in (first.at, first.high))
    return {"by": first.by, "low": first.low.isoformat(), "at": at, "high": high}


def _dates(told: Forecast | None) -> dict[str, Any] | None:
    if told is None:
        return None
    mid, high = (each.isoformat() if each else None for each in (told.mid, told.high))
    return {"chance": told.chance, "low": told.low.isoformat(), "mid": mid, "high": high}
