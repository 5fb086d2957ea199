"""How far a mainspring is wound, and how long that lasts: followed along many courses that all may be the true one.

Each course has a reserve, an hour for every loosely noted moment, and what wear and a winder gain; all are equally likely.
Wound by a share of the turns between stop and full, a watch goes that share of a full run: T_part = T_full × share. Going
takes 1/T of it an hour; wear adds 1/F, net of going, where F hours of wear fill it; a winder of P turns a day adds P/(N T),
where N turns a day hold a level. Above full the bridle slips or the crown resists. Courses are drawn once and for all: the
same log always gives the same answer.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

import numpy as np

from tracker.core import normal
from tracker.core.acts import PLACING, Act
from tracker.core.curve import Curve, curve_from
from tracker.core.normal import FloatArray
from tracker.core.spread import Band
from tracker.core.wearfills import BY_DAY_SD, UNSAID

COURSES = 1024
LEAST_SHARE = 0.02
"""A spring wound by less than this is as good as unwound."""
WIDEST = 0.6
"""If the share lies in a band wider than this, nobody knows how far it is wound."""
PROGRAMME_OFF = 0.1
"""A winder's turns a day, or the need of a watch as its owner gives it, may be so much off either way (common practice, no
source)."""
USUAL_NEED = (650.0, 800.0)
"""Turns a day that hold a level, where nobody gave a figure (common practice, no source)."""
HOLDS = 0.9
"""So likely a winder that is said to keep a watch going does."""
FOR_EVER = 50.0
"""A course on a winder that loses next to nothing lasts at most so many reserves."""
AGREES_SD, AGREES_SHARE = 3.0, 0.05
"""A reading agrees with what is known if this share of the courses lies within so many of its standard deviations."""
BLUR = 0.012
"""Each course stands for hours around its own, this standard deviation of their logarithm wide."""
FINE = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Gains:
    """What moving does for a watch.

    `fills` is centre and standard deviation of the logarithm of the hours of wear that fill it; `needs_a_day` the turns a day
    on a winder that hold a level, lowest and highest.
    """

    fills: tuple[float, float]
    needs_a_day: tuple[float, float] = USUAL_NEED


@dataclass(frozen=True, slots=True, kw_only=True)
class Wound:
    """How far a watch is wound at `at` (its true moment within `within_min` minutes), and how long it lasts from there.

    `share` of full is a band; `curve` is the hours left: on a winder if it stays there, on the wrist if it is laid down at
    `at`. `holds` is the chance that its winder keeps it going, None off it. `known` is false where nothing useful is known.
    """

    at: datetime
    within_min: float
    share: Band
    curve: Curve
    holds: float | None
    known: bool


@dataclass(slots=True)
class _Courses:
    """Where each course stands: hours of a full run, share wound, hours by which its clock is off the last noted moment."""

    draw: np.random.Generator
    full_h: FloatArray
    fills_h: FloatArray
    needs: FloatArray
    share: FloatArray
    off_h: FloatArray
    place: str = "at rest"
    worn_h: FloatArray | None = None
    turns: FloatArray | None = None

    def pass_by(self, hours: FloatArray) -> None:
        """Let these hours pass."""
        self.share = np.clip(self.share + hours * self._gain(), 0.0, 1.0)

    def _gain(self) -> FloatArray:
        """Share an hour, net of going."""
        if self.place == "on wrist" and self.worn_h is not None:
            return 1.0 / self.worn_h
        if self.place == "on winder" and self.turns is not None:
            return (self.turns / self.needs - 1.0) / self.full_h
        return -1.0 / self.full_h

    def keep(self, weight: FloatArray) -> bool:
        """Keep courses by these weights, so that all are equally likely again; false if none is left."""
        total = weight.sum()
        if total <= 0.0:
            return False
        steps = (np.arange(COURSES) + 0.5) / COURSES * total
        kept = np.minimum(np.searchsorted(np.cumsum(weight), steps), COURSES - 1)
        for name in ("full_h", "fills_h", "needs", "share", "off_h", "worn_h", "turns"):
            value = getattr(self, name)
            if value is not None:
                setattr(self, name, value[kept])
        return True


def wound(acts: tuple[Act, ...], full: Curve, gains: Gains, now: datetime) -> Wound | None:
    """Follow these acts; None without any. On the wrist the answer is for `now`, else for the last act but sightings.

    `full` is how long a full run lasts. What was seen after that last act is left to whoever asks: it conditions the hours.
    """
    acts = tuple(act for act in acts if act.at <= now)
    while acts and acts[-1].kind == "going":
        acts = acts[:-1]
    if not acts:
        return None
    place = next((act.kind for act in reversed(acts) if act.kind in PLACING), None)
    found = _follow(acts, full, gains, now if place == "on wrist" else acts[-1].at)
    if place != "on winder" or found.known:
        return found
    # However it was wound when it was put there, by now a winder that holds has filled it.
    by_now = _follow(acts, full, gains, max(acts[-1].at, now.replace(minute=0, second=0, microsecond=0)))
    return by_now if by_now.known and (by_now.holds or 0.0) >= HOLDS else found


@lru_cache(maxsize=1024)
def _follow(acts: tuple[Act, ...], full: Curve, gains: Gains, until: datetime) -> Wound:
    """The same to a moment: pages ask again and again, and only on the wrist does the answer change meanwhile."""
    courses = _drawn(full, gains)
    before = acts[0].at
    for act in acts:
        _pass_to(courses, act, (act.at - before) / _HOUR)
        _do(courses, act)
        before = act.at
    if until > before:
        courses.pass_by(np.maximum(0.0, (until - before) / _HOUR - courses.off_h))
    return _answer(courses, acts[-1], until)


def _drawn(full: Curve, gains: Gains) -> _Courses:
    draw = np.random.default_rng(20)
    even = [draw.permutation((np.arange(COURSES) + 0.5) / COURSES) for _ in range(4)]
    log_hours = np.interp(1.0 - even[0], np.asarray(full.still_going)[::-1], np.log(full.hours)[::-1])
    centre, sd = gains.fills
    low, high = gains.needs_a_day
    return _Courses(
        draw=draw,
        full_h=np.exp(log_hours),
        fills_h=np.exp(centre + sd * normal.quantile(even[1])),
        needs=low + (high - low) * even[2],
        share=even[3],
        off_h=np.zeros(COURSES),
    )


def _pass_to(courses: _Courses, act: Act, hours: float) -> None:
    """Go on to an act that came so many hours after the last by the noted times; each course knows its true moment."""
    off_h = act.within_min / 60.0 * courses.draw.uniform(-1.0, 1.0, COURSES)
    passed = np.maximum(0.0, hours + off_h - courses.off_h)
    courses.off_h = courses.off_h + passed - hours
    courses.pass_by(passed)


def _do(courses: _Courses, act: Act) -> None:
    draw, low, high = courses.draw, act.low or 0.0, act.high or 0.0
    match act.kind:
        case "full":
            courses.share = np.ones(COURSES)
        case "stopped":
            courses.share, courses.place = np.zeros(COURSES), "at rest"
        case "turns":
            courses.share = np.minimum(1.0, courses.share + draw.uniform(low, high, COURSES))
        case "some":
            courses.share = draw.uniform(courses.share, 1.0)
        case "going":
            if not courses.keep((courses.share > 0.0).astype(float)):
                courses.share = draw.uniform(0.0, 1.0, COURSES)
        case "shows":
            _read(courses, low, high)
        case _:
            _move(courses, act)


def _move(courses: _Courses, act: Act) -> None:
    courses.place = act.kind
    if act.kind == "on wrist":
        courses.keep(np.where(courses.share > 0.0, 1.0, UNSAID))
        courses.worn_h = courses.fills_h * np.exp(BY_DAY_SD * courses.draw.standard_normal(COURSES))
    elif act.kind == "on winder":
        courses.turns = _turns(courses, act.low)


def _turns(courses: _Courses, a_day: float | None) -> FloatArray:
    """What a winder of these turns a day makes; of an unknown one nobody knows whether it is enough."""
    even = courses.draw.uniform(0.0, 1.0, COURSES)
    if a_day is None:
        return 2.0 * courses.needs * even
    return a_day * (1.0 + PROGRAMME_OFF * (2.0 * even - 1.0))


def _read(courses: _Courses, share: float, sd: float) -> None:
    """Weigh the courses by a reading; where it agrees with hardly any of them, the reading is believed."""
    weight = np.exp(-0.5 * ((courses.share - share) / sd) ** 2)
    near = np.abs(courses.share - share) < AGREES_SD * sd
    if near.mean() < AGREES_SHARE or not courses.keep(weight):
        courses.share = share + sd * courses.draw.standard_normal(COURSES)
    courses.share = np.clip(courses.share, LEAST_SHARE, 1.0)


def _answer(courses: _Courses, last: Act, at: datetime) -> Wound:
    low, mid, high = (float(each) for each in np.quantile(courses.share, (0.05, 0.5, 0.95)))
    left_h = np.maximum(courses.share, LEAST_SHARE) * courses.full_h
    holds, unknown = None, False
    if courses.place == "on winder" and courses.turns is not None:
        loss = 1.0 - courses.turns / courses.needs
        holds = float(np.mean(loss <= 0.0))
        left_h = np.minimum(left_h / np.maximum(loss, 1e-9), FOR_EVER * courses.full_h)
        unknown = last.kind == "on winder" and last.low is None
    return Wound(
        at=at,
        within_min=0.0 if at != last.at else last.within_min,
        share=Band(low, mid, high),
        curve=curve_of(left_h),
        holds=holds,
        known=high - low <= WIDEST and not unknown,
    )


def curve_of(hours: FloatArray) -> Curve:
    """The chance of still going where each of these hours is as likely."""
    logs = np.log(hours)
    grid = np.linspace(logs.min() - 7.0 * BLUR, logs.max() + 7.0 * BLUR, FINE)
    near = np.searchsorted(0.5 * (grid[1:] + grid[:-1]), logs)
    shares = np.bincount(near, minlength=FINE) / logs.size
    return curve_from(grid, normal.cdf((grid - grid[:, None]) / BLUR) @ shares)


_HOUR = timedelta(hours=1)
