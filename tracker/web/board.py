"""The board: watches under one time axis, each as a taper, with the same said in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.curve import Curve
from tracker.core.rundown import CurrentRun
from tracker.figures import Figures
from tracker.web import axis as along
from tracker.web import lookwords, telling
from tracker.web.axis import Stretch
from tracker.web.taper import Axis, Taper, Trace, blank, chance, taper
from tracker.words import say

AXIS = Axis()
MOST_ROWS = 40
"""Beyond these the board would be scrolled, not seen."""

HOUR = timedelta(hours=1)
MORNING = time(7, 30)

Form = Literal["filled", "broken", "hollow"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One watch on the board. `form`: filled while it goes, broken where it may have stopped, hollow if unknown.

    `beyond` says the wind-by where it lies past the right edge; `state`, `by` (or `instead`), `tomorrow` are the words for
    those who read the table.
    """

    uid: str
    nickname: str
    form: Form
    wanting: bool
    taper: Taper
    beyond: str
    state: str
    by: str
    instead: str
    tomorrow: str


@dataclass(frozen=True, slots=True)
class Board:
    """The drawing: its rows, its axis, where now is (percent), its nights, its days by their middle and name.

    `still` counts those not drawn because they have stopped or nothing is known of them, `beyond` those past `MOST_ROWS`.
    """

    rows: list[Row]
    axis: Axis
    now: float
    nights: list[Stretch]
    days: list[tuple[float, str]]
    still: int
    beyond: int


def board(figures: Sequence[Figures], wanting: Sequence[Figures], now: datetime, zone: ZoneInfo) -> Board:
    """Draw the watches that may be going, those kept going first, by their wind-by."""
    drawn = sorted((each for each in figures if _drawn(each)), key=_order)
    uids = {each.watch.uid for each in wanting}
    return Board(
        rows=[row(each, now, zone, wanting=each.watch.uid in uids) for each in drawn[:MOST_ROWS]],
        axis=AXIS,
        now=AXIS.percent(0.0),
        nights=along.nights(AXIS, now, zone),
        days=[(day.middle, _day_name(day, now, zone)) for day in along.days(AXIS, now, zone)],
        still=sum(not each.watch.customers for each in figures) - len(drawn),
        beyond=max(0, len(drawn) - MOST_ROWS),
    )


def _day_name(day: Stretch, now: datetime, zone: ZoneInfo) -> str:
    return phrases.day(datetime.combine(day.day, time(12), zone), now, zone)


def _drawn(each: Figures) -> bool:
    if each.watch.customers or each.standing.word == "stopped":
        return False
    return each.watch.kept or each.standing.word != "unknown"


def _order(each: Figures) -> tuple[bool, bool, float, str]:
    by = each.standing.wind_by
    return not each.watch.kept, by is None, by.timestamp() if by else 0.0, each.watch.nickname.casefold()


def row(each: Figures, now: datetime, zone: ZoneInfo, *, wanting: bool = False) -> Row:
    """One watch of the board."""
    trace = trace_of(each, now)
    by = telling.wind_by(each)
    said = phrases.when(by, now, zone) if by is not None else ""
    far = trace is not None and trace.wind_by_h is not None and trace.wind_by_h > AXIS.after_h
    return Row(
        uid=each.watch.uid,
        nickname=each.watch.nickname,
        form=_form(each),
        wanting=wanting,
        taper=taper(trace, AXIS) if trace and not each.standing.look else blank(AXIS, _last_known_h(each, now)),
        beyond=say("wind by {when} ›", when=said) if far else "",
        state=telling.state(each),
        by=said,
        instead=_instead(each, now, zone),
        tomorrow=phrases.chance(chance(trace, (tomorrow(now, zone) - now) / HOUR))
        if trace and not each.standing.look
        else "",
    )


def _instead(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    if each.test is not None:
        return say("not until it stands")
    return lookwords.not_before(each.offer, now, zone) if each.offer else say("not known")


def trace_of(each: Figures, now: datetime) -> Trace | None:
    """The present run as the drawing needs it; None where no run is known."""
    return None if each.run is None else _trace(each.run, each.curve, telling.wind_by(each), now)


def _trace(run: CurrentRun, curve: Curve, wind_by: datetime | None, now: datetime) -> Trace:
    start_h = (run.started_at - now) / HOUR
    return Trace(
        curve=curve,
        start_h=start_h,
        seen_h=min(start_h + run.seen_going_h, 0.0),
        wind_by_h=(wind_by - now) / HOUR if wind_by is not None else None,
    )


def _form(each: Figures) -> Form:
    if each.standing.look:
        return "hollow"
    return "filled" if each.standing.word in {"going", "going, probably"} else "broken"


def _last_known_h(each: Figures, now: datetime) -> float | None:
    since = each.history.last.since
    return None if since is None else (since - now) / HOUR


def tomorrow(now: datetime, zone: ZoneInfo) -> datetime:
    """Tomorrow morning on the owner's clock."""
    local = now.astimezone(zone)
    return datetime.combine(local.date() + timedelta(days=1), MORNING, zone).astimezone(now.tzinfo)
