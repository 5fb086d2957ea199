"""The present run: the chance that the watch still goes, hour by hour, given that it was seen going."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.curve import Curve
from tracker.core.rundown import CurrentRun
from tracker.core.windby import hours_at_risk, still_going
from tracker.plots.picture import BAND, BODY, INK, WANT, Figure, Picture, Table, above, label, layout, line, upright
from tracker.words import say, written

LEVELS = (0.99, 0.95, 0.9, 0.75, 0.5, 0.25, 0.1, 0.05, 0.01)
"""Chances told in the table."""
LAST = 0.002
"""The picture ends where the chance has fallen to this."""
POINTS = 120
MORNING = time(7, 30)
SURE, GONE, TOLD_AT_MOST = 0.99, 0.01, 3
TICK_STEPS_H = (6, 12, 24, 48, 96, 168, 336)
MOST_TICKS = 8
A_WEEK_TOLD_H = 24
"""With marks farther apart than this a weekday's name would come twice."""
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class _Run:
    """The present run with how long such runs last; hours count from the winding as noted."""

    run: CurrentRun
    curve: Curve
    asked: str

    def at(self, moment: datetime) -> float:
        return still_going(self.curve, (moment - self.run.started_at) / HOUR, seen_going_h=self.run.seen_going_h)

    def until(self, chance: float) -> datetime:
        hours = hours_at_risk(self.curve, 1.0 - chance, seen_going_h=self.run.seen_going_h)
        return self.run.started_at + hours * HOUR

    def length(self, moment: datetime) -> str:
        """From the winding; in one unit for the whole run."""
        hours = max((moment - self.run.started_at) / HOUR, 0.0)
        in_days = hours_at_risk(self.curve, 0.5) > phrases.DAYS_FROM_H
        return say("{n} days", n=written(hours / phrases.A_DAY_H, ".1f")) if in_days else phrases.in_hours(hours, 1.0)


def present_run(
    run: CurrentRun, curve: Curve, *, wind_by: datetime, asked: str = "wind by", now: datetime, zone: ZoneInfo
) -> Picture | None:
    """The picture of a full run; None if it is over by all that is known.

    What stands at `wind_by` is `asked`: where a look is offered it is that, and no wind-by.
    """
    it = _Run(run, curve, asked)
    end = max(it.until(LAST), wind_by + HOUR)
    if now >= end:
        return None
    return Picture(
        figure=_figure(it, end, wind_by, now, zone),
        sentence=_sentence(it, now, zone),
        key=(("◆", say("{asked} {when}", asked=say(it.asked), when=phrases.when(wind_by, now, zone))),),
        tables=(_table(it, wind_by, now, zone),),
    )


def _figure(it: _Run, end: datetime, wind_by: datetime, now: datetime, zone: ZoneInfo) -> Figure:
    """Hours from now along the axis, so that a night with a clock change is as long as it is."""
    start = min(it.run.started_at, now)
    moments = [start + (end - start) * step / POINTS for step in range(POINTS + 1)]
    before, after = [m for m in moments if m < now], [m for m in moments if m > now]
    x_by = (wind_by - now) / HOUR
    data = [
        {**_edge(it, [*before, now], now, zone), "line": {"color": BODY, "width": 1.5, "dash": "dot"}},
        {**_edge(it, [now, *after], now, zone), "fill": "tozeroy", "fillcolor": BAND},
        _notch(it, wind_by, now, zone),
    ]
    marked = {"range": [(start - now) / HOUR, (end - now) / HOUR], "showgrid": False, **_ticks(start, end, now, zone)}
    chances = {
        "range": [0, 1.04],
        "tickvals": [0, 0.25, 0.5, 0.75, 1],
        "ticktext": ["0", "25 %", "50 %", "75 %", "100 %"],
    }
    names = [
        above(say("now"), 0, colour=INK),
        label(
            say(it.asked), x=x_by, y=it.at(wind_by), colour=WANT, xanchor="right", yanchor="top", xshift=-8, yshift=-4
        ),
    ]
    return {"data": data, "layout": layout(marked, chances, shapes=[upright(0, colour=INK)], annotations=names)}


def _edge(it: _Run, moments: Sequence[datetime], now: datetime, zone: ZoneInfo) -> Figure:
    shares = [round(it.at(moment), 4) for moment in moments]
    text = [
        say("{when}: {chance}", when=phrases.when(m, now, zone), chance=phrases.chance(s))
        for m, s in zip(moments, shares, strict=True)
    ]
    drawn = line([round((moment - now) / HOUR, 3) for moment in moments], shares, colour=BODY)
    del drawn["hoverinfo"]
    return {**drawn, "text": text, "hovertemplate": "%{text}<extra></extra>"}


def _notch(it: _Run, wind_by: datetime, now: datetime, zone: ZoneInfo) -> Figure:
    return {
        "type": "scatter",
        "mode": "markers",
        "x": [round((wind_by - now) / HOUR, 3)],
        "y": [round(it.at(wind_by), 4)],
        "text": [say("{asked} {when}", asked=say(it.asked), when=phrases.when(wind_by, now, zone))],
        "hovertemplate": "%{text}<extra></extra>",
        "marker": {"symbol": "diamond", "size": 10, "color": WANT},
    }


def _ticks(start: datetime, end: datetime, now: datetime, zone: ZoneInfo) -> Figure:
    """Midnights by their day, hours between by the clock, on the owner's clock."""
    hours = (end - start) / HOUR
    step = next((each for each in TICK_STEPS_H if hours / each <= MOST_TICKS), TICK_STEPS_H[-1])
    found = [moment for moment in _clock(start, end, step, zone) if start <= moment <= end]
    texts = [_tick(moment, zone, dated=step > A_WEEK_TOLD_H) for moment in found]
    return {"tickvals": [round((moment - now) / HOUR, 3) for moment in found], "ticktext": texts}


def _clock(start: datetime, end: datetime, step_h: int, zone: ZoneInfo) -> Iterator[datetime]:
    day = start.astimezone(zone).date()
    while (midnight := datetime.combine(day, time(), zone).astimezone(start.tzinfo)) <= end:
        for hour in range(0, 24, min(step_h, 24)):
            yield datetime.combine(day, time(hour), zone).astimezone(start.tzinfo) if hour else midnight
        day += timedelta(days=max(1, step_h // 24))


def _tick(moment: datetime, zone: ZoneInfo, *, dated: bool) -> str:
    local = moment.astimezone(zone)
    if dated:
        return phrases.date_within_year(local.date())
    return phrases.weekday(moment, zone) if local.time() == time() else phrases.clock_time(moment, zone)


def _sentence(it: _Run, now: datetime, zone: ZoneInfo) -> str:
    """The chance at the mornings at which it is in doubt."""
    told = [
        say("{chance} {when}", chance=phrases.chance(it.at(moment)), when=phrases.when(moment, now, zone))
        for moment in _doubtful(it, now, zone)
    ]
    if not told:
        chance, end = phrases.chance(it.at(now)), max(it.until(GONE), now)
        return say(
            "It still goes with a chance of {chance}, hardly beyond {when}.",
            chance=chance,
            when=phrases.when(end, now, zone),
        )
    return say("The chance that it is still going: {told}.", told=", ".join(told))


def _doubtful(it: _Run, now: datetime, zone: ZoneInfo) -> list[datetime]:
    """The first mornings to come at which it is not sure; with the last at which it is, and after one alone the next."""
    day, found = now.astimezone(zone).date(), list[datetime]()
    while len(found) < TOLD_AT_MOST:
        morning = datetime.combine(day, MORNING, zone).astimezone(now.tzinfo)
        day += timedelta(days=1)
        if morning <= now:
            continue
        if it.at(morning) < GONE:
            return [*found, morning] if len(found) == 1 else found
        found = [morning] if it.at(morning) > SURE else [*found, morning]
    return found


def _table(it: _Run, wind_by: datetime, now: datetime, zone: ZoneInfo) -> Table:
    """Moments by their chance, with now and the wind-by."""
    rows = [(now, it.at(now), say("now")), (wind_by, it.at(wind_by), say(it.asked))]
    named = {phrases.when(at, now, zone) for at, _, _ in rows}
    rows += [
        (at, level, "")
        for level in LEVELS
        if (at := it.until(level)) > now and phrases.when(at, now, zone) not in named
    ]
    said = [
        (phrases.when(at, now, zone), it.length(at), phrases.chance(chance), note) for at, chance, note in sorted(rows)
    ]
    heads = (say("At"), say("After its winding"), say("Still going with a chance of"), "")
    return Table(say("This run"), heads, tuple(said))
