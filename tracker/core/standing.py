"""What a watch is now, in a word, and by when to wind it: its history read against how long its runs last."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from tracker.core.curve import Curve
from tracker.core.rundown import CurrentRun, History
from tracker.core.spread import Band
from tracker.core.windby import hours_at_risk, still_going, stopped_h

StandingWord = Literal["going", "going, probably", "may have stopped", "stopped", "unknown"]

LIKELY = 0.9
"""A watch seen going at its wind-by or later is called going for as long as that is as likely as this."""

SURE_FOR = timedelta(hours=12)
"""How long after it was wound or seen a watch before its wind-by is simply called going."""

MEDIAN_RISK = 0.50
LATEST_RISK = 0.95

_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A watch at one moment.

    `look`: the last winding is not known to have been full, so there is no wind-by and somebody should look at it.
    `left_h` is hours from now to the wind-by, to the median and to the 95 % point, none of them below 0; `chance_going`
    is the chance that it still goes since it was last seen, as far as a full run tells: 0 if it has stopped or there is no
    such run.
    `seen_going_h` is how long the run has been seen going, counted from the wind.
    """

    word: StandingWord
    look: bool = False
    wind_by: datetime | None = None
    left_h: Band | None = None
    chance_going: float = 0.0
    seen_going_h: float = 0.0


def standing(
    history: History,
    curve: Curve | None,
    p: float,
    now: datetime,
    believed_h: float | None = None,
    *,
    kept_wound: bool = False,
) -> Standing:
    """How the watch stands at `now`, if the present run lasts as `curve` says and a wind-by may fail with chance `p`.

    Without a curve nothing is said of what has not been seen. The wind-by counts from the earliest moment at which the
    watch can have been wound, and comes no sooner than it was last seen going. `believed_h`: what was seen later in the
    present run is held back (tracker.core.heldback) and moves no wind-by; the watch is then at most probably going. What a
    sensor tells that had lost it for a while moves no wind-by either, nor calls it going for certain past that. Whether one
    that fell silent was lifted or has stopped nobody knows: its state is unknown until it must have stopped. `kept_wound`: it
    is worn, or on a winder that keeps it going: the hours left are those it would go if that ended now, and nothing is to be
    wound.
    """
    if history.last.state == "stopped":
        return Standing(word="stopped")
    run = history.current
    if run is None or not run.counts_as_full or curve is None:
        return _unmeasured(history, now)
    believed = run if believed_h is None else replace(run, seen_going_h=believed_h)
    wind_by = _by(believed, run.started_from, hours_at_risk(curve, p, seen_going_h=believed.seen_going_h))
    return Standing(
        word=_told_word(history, run, curve, wind_by, now, believed=believed is run),
        wind_by=None if kept_wound else wind_by,
        left_h=_left(run, curve, wind_by, now),
        chance_going=_chance_going(history, run, curve, now),
        seen_going_h=believed.seen_going_h,
    )


def _unmeasured(history: History, now: datetime) -> Standing:
    """A watch seen going of late probably goes on; how long is not known without a full wind."""
    seen_h = history.current.seen_going_h if history.current is not None else 0.0
    recent = history.last.state == "going" and _told_lately(history, now)
    return Standing(word="going, probably" if recent else "unknown", look=True, seen_going_h=seen_h)


def _chance_going(history: History, run: CurrentRun, curve: Curve, now: datetime) -> float:
    """Counted on one clock: however loosely the winding is timed, no chance is lost before it was last known to go."""
    told_at = history.last.since if history.last.state == "going" else run.last_seen_at
    seen_h = 0.0 if told_at is None else (told_at - run.started_at) / _HOUR
    return still_going(curve, (now - run.started_at) / _HOUR, seen_going_h=max(seen_h, run.seen_going_h))


def _told_word(
    history: History, run: CurrentRun, curve: Curve, wind_by: datetime, now: datetime, *, believed: bool
) -> StandingWord:
    """The word for a watch by its run, as far as what told its state last is to be believed."""
    lately = history.last.state == "going" and _told_lately(history, now)
    if lately and not (believed and run.heard_on):
        return "going" if believed and now < wind_by else "going, probably"
    word = _word(history, run, curve, wind_by, now, believed=believed)
    return "unknown" if history.last.state == "unknown" and word in {"going", "going, probably"} else word


def _word(
    history: History, run: CurrentRun, curve: Curve, wind_by: datetime, now: datetime, *, believed: bool
) -> StandingWord:
    if now >= _by(run, run.started_to, stopped_h(curve, seen_going_h=run.seen_going_h)):
        return "stopped"
    seen_since = believed and run.last_seen_at is not None and run.last_seen_at >= wind_by
    if now >= wind_by and not (seen_since and _chance_going(history, run, curve, now) >= LIKELY):
        return "may have stopped"
    return "going" if _told_lately(history, now) else "going, probably"


def _told_lately(history: History, now: datetime) -> bool:
    return history.last.since is not None and now - history.last.since <= SURE_FOR


def _left(run: CurrentRun, curve: Curve, wind_by: datetime, now: datetime) -> Band:
    median_h, latest_h = (hours_at_risk(curve, p, seen_going_h=run.seen_going_h) for p in (MEDIAN_RISK, LATEST_RISK))
    moments = (wind_by, _by(run, run.started_at, median_h), _by(run, run.started_to, latest_h))
    return Band(*(max(0.0, (moment - now) / _HOUR) for moment in moments))


def _by(run: CurrentRun, start: datetime, hours: float) -> datetime:
    """So many hours from the start, but no sooner than the run was last seen going."""
    return max(start + timedelta(hours=hours), run.started_to + timedelta(hours=run.seen_going_h))
