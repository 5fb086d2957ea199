"""The raw readings of a sensor with the spans that were found in them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from sensors.kinds import Boolean, Level
from sensors.rest import Span, Stop
from sensors.sensor import Sensor
from tracker import phrases
from tracker.plots import dates
from tracker.plots.picture import BAND, DOUBT, SOFT, WANT, Figure, Picture, Table, layout, line, points, upright
from tracker.words import say, speech

TIMES_WITHIN = timedelta(days=2)
SECONDS_WITHIN = timedelta(minutes=15)
MOST_TICKS = 5
TOLD = 200
"""So many spans stand in the table, the newest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a sensor told from one moment to another: how many readings, spans and stops.

    Of the readings those to draw, stamps (s since 1970) and values in order; `gaps_s` are the stamps before a silence.
    """

    total: int
    at_s: Sequence[float]
    values: Sequence[float]
    gaps_s: Collection[float]
    spans: Sequence[Span]
    stops: Sequence[Stop]
    since: datetime
    until: datetime


def readings(sensor: Sensor, told: Told, now: datetime, zone: ZoneInfo) -> Picture | None:
    """The picture; None where nothing was heard in that time."""
    if not told.at_s:
        return None
    return Picture(
        figure=_figure(sensor, told, zone),
        sentence=_sentence(told, now, zone),
        key=_key(sensor, told),
        tables=(_table(told, now, zone),),
    )


def _figure(sensor: Sensor, told: Told, zone: ZoneInfo) -> Figure:
    at_s, values = _broken(told)
    x = [_local(each, zone) for each in at_s]
    drawn = {**line(x, values, colour=SOFT, width=1.5), "connectgaps": False}
    if isinstance(sensor.reports, Boolean):
        drawn["line"] = {**drawn["line"], "shape": "hv"}
    alone = _alone(at_s, values)
    y: Figure = (
        {"tickvals": [0, 1], "ticktext": [say("stopped"), say("going")], "range": [-0.2, 1.2]}
        if isinstance(sensor.reports, Boolean)
        else {}
    )
    since = _since(told)
    ends = [_local(moment.timestamp(), zone) for moment in (since, told.until)]
    x_axis = {"range": ends, **_ticks(since, told.until, zone)}
    more = {"shapes": _shapes(sensor, told, zone), "margin": {"l": 66, "r": 14, "t": 14, "b": 40}}
    dots = [points([x[place] for place in alone], [values[place] for place in alone], colour=SOFT)] if alone else []
    return {"data": [drawn, *dots], "layout": layout(x_axis, y, **more)}


def _broken(told: Told) -> tuple[list[float], list[float | None]]:
    """What is drawn: a None after the last reading before each gap, so that no line is drawn over what was not heard."""
    at_s: list[float] = []
    values: list[float | None] = []
    open_s = set(told.gaps_s)
    for place, (each, value) in enumerate(zip(told.at_s, told.values, strict=True)):
        at_s.append(each)
        values.append(value)
        if each in open_s and told.at_s[place + 1 : place + 2] != [each]:
            at_s.append(each)
            values.append(None)
    return at_s, values


def _alone(at_s: Sequence[float], values: Sequence[float | None]) -> list[int]:
    """The places of readings between two gaps: no line leads to them, they are drawn as dots."""
    told = [None, *values, None]
    return [
        place for place in range(len(at_s)) if told[place + 1] is not None and told[place] is told[place + 2] is None
    ]


def _ticks(since: datetime, until: datetime, zone: ZoneInfo) -> Figure:
    """Days, or times of the day where all of it lies within two."""
    if until - since > TIMES_WITHIN:
        return dict(dates.ticks(since, until, zone, most=MOST_TICKS))
    return {"nticks": MOST_TICKS, "tickformat": _clock(seconds=until - since <= SECONDS_WITHIN)}


def _shapes(sensor: Sensor, told: Told, zone: ZoneInfo) -> list[Figure]:
    """The ground of each span of going, an upright line at each stop, the thresholds of a level."""
    grounds = [
        {
            "type": "rect", "x0": _local(each.from_s, zone), "x1": _local(each.to_s, zone),
            "y0": 0, "y1": 1, "yref": "paper", "fillcolor": BAND, "line": {"width": 0}, "layer": "below",
        }
        for each in told.spans if each.state == "going"
    ]  # fmt: skip
    stops = [upright(_local(each.before_s, zone), colour=WANT) for each in told.stops]
    levels = [sensor.reports.upper, sensor.reports.lower] if isinstance(sensor.reports, Level) else []
    lines = [
        {
            "type": "line",
            "x0": 0,
            "x1": 1,
            "xref": "paper",
            "y0": level,
            "y1": level,
            "line": {"color": DOUBT, "dash": "dot", "width": 1},
        }
        for level in levels
    ]
    return [*grounds, *stops, *lines]


def _sentence(told: Told, now: datetime, zone: ZoneInfo) -> str:
    since = phrases.when(_since(told), now, zone)
    count = say("{n} readings since {since}", n=told.total, since=since)
    if told.total == 1:
        count = say("One reading since {since}", since=since)
    if not told.stops:
        return say("{count}; no stop was seen.", count=count)
    newest = told.stops[-1]
    between = [phrases.when(_moment(each), now, zone) for each in newest]
    said = say(
        "{count}; {n} seen",
        count=count,
        n=say("one stop") if len(told.stops) == 1 else say("{n} stops", n=len(told.stops)),
    )
    return say("{said}, the last between {after} and {before}.", said=said, after=between[0], before=between[1])


def _key(sensor: Sensor, told: Told) -> tuple[tuple[str, str], ...]:
    key = [("─", say("what it told; no line where nothing was heard")), ("▒", say("going, as it was understood"))]
    if told.stops:
        key.append(("│", say("a stop")))
    if isinstance(sensor.reports, Level):
        key.append(("┈", say("the two thresholds")))
    return tuple(key)


def _table(told: Told, now: datetime, zone: ZoneInfo) -> Table:
    ends = {
        "stopped": say("it stopped"),
        "going": say("it went again"),
        "unknown": say("nothing more was heard"),
        "open": say("it lasts"),
    }
    rows = tuple(
        (
            say(each.state),
            phrases.when(_moment(each.from_s), now, zone),
            phrases.when(_moment(each.to_s), now, zone),
            ends[each.end],
        )
        for each in reversed(told.spans[-TOLD:])
    )
    return Table(
        caption=say("Spans, the newest first"), heads=(say("state"), say("from"), say("to"), say("then")), rows=rows
    )


def _clock(*, seconds: bool) -> str:
    """Times of the day as plotly is told to write them (d3's words)."""
    if speech().formats.clock == "12 h":
        return "%-I:%M:%S %p" if seconds else "%-I:%M %p"
    return "%H:%M:%S" if seconds else "%H:%M"


def _since(told: Told) -> datetime:
    """Where the picture begins: with the first reading."""
    return max(told.since, _moment(told.at_s[0]))


def _local(at_s: float, zone: ZoneInfo) -> str:
    """A moment as plotly takes it: the owner's wall clock, to the millisecond, for some sensors send many a minute."""
    return _moment(at_s).astimezone(zone).isoformat(" ", "milliseconds")[: len("2026-11-25 07:31:00.000")]


def _moment(at_s: float) -> datetime:
    return datetime.fromtimestamp(at_s, UTC)
