"""The present run as it counts: from a full wind, or from how far the spring is wound now."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tracker.core.acts import PLACING, Act
from tracker.core.curve import Curve
from tracker.core.rundown import CurrentRun, History
from tracker.core.watch import Watch
from tracker.core.wearfills import fills
from tracker.core.windby import hours_at_risk
from tracker.core.windstate import HOLDS, PROGRAMME_OFF, USUAL_NEED, Gains, Wound, wound

EVEN = 0.5
_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class PresentRun:
    """The run whose hours `curve` tells, and how far the watch is wound where that is followed and known.

    Without `wound` the run is the one of the history, and its curve that of a full wind.
    """

    run: CurrentRun | None
    curve: Curve
    wound: Wound | None = None


def present_run(watch: Watch, history: History, full: Curve, now: datetime, measured: Sequence[Act] = ()) -> PresentRun:
    """Read the present run; `full` is how long a full one lasts, `measured` the turns that its winder was heard to make."""
    run = history.current
    if run is None or history.last.state == "stopped" or not run.acts:
        return PresentRun(run, full)
    found = wound(_with_turns(run.acts, measured), full, gains_of(watch, history, full), now)
    if found is None or not found.known:
        return PresentRun(run, full)
    return PresentRun(_from(run, found), found.curve, found)


def _with_turns(told: Sequence[Act], measured: Sequence[Act]) -> tuple[Act, ...]:
    """The acts with the turns that were measured, as long as it sat on its winder."""
    place, followed = "", list[Act]()
    for act, was_told in sorted([*((act, True) for act in told), *((act, False) for act in measured)], key=_by_time):
        place = act.kind if was_told and act.kind in PLACING else place
        if was_told or place == "on winder":
            followed.append(act)
    return tuple(followed)


def _by_time(act: tuple[Act, bool]) -> tuple[datetime, bool]:
    """At the same moment what was told comes first."""
    return act[0].at, not act[1]


def kept_wound(history: History, present: PresentRun) -> bool:
    """Whether nothing is to be wound: it is worn, or on a winder that keeps it going."""
    held = present.wound is not None and present.wound.holds is not None and present.wound.holds >= HOLDS
    return history.on_wrist or (history.on_winder and held)


def gains_of(watch: Watch, history: History, full: Curve) -> Gains:
    """What wear and a winder do for this watch, as far as its owner or its log say."""
    need = watch.winder_turns_a_day
    return Gains(
        fills=fills(watch.wear_fills_h, history.worn, hours_at_risk(full, EVEN)),
        needs_a_day=USUAL_NEED if need is None else (need * (1.0 - PROGRAMME_OFF), need * (1.0 + PROGRAMME_OFF)),
    )


def _from(run: CurrentRun, found: Wound) -> CurrentRun:
    """The run counted from the moment at which it is known how far it is wound."""
    width = timedelta(minutes=found.within_min)
    seen_at = run.last_seen_at
    seen_h = 0.0 if seen_at is None else max(0.0, (seen_at - found.at - width) / _HOUR)
    return replace(
        run,
        started_at=found.at,
        started_within_min=found.within_min,
        started_from=found.at - width,
        started_to=found.at + width,
        seen_going_h=seen_h,
        last_seen_at=seen_at if seen_at is not None and seen_at >= found.at else None,
        looks=tuple(look for look in run.looks if look.hours > 0.0),
        counts_as_full=True,
    )
