"""What the Sensors pages say: how each sensor fares, how the listener fares, what a message reads as."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from sensors.kinds import Kind
from sensors.payload import Form, read
from sensors.rest import Span
from sensors.sensor import Sensor
from sensors.turns import Hour
from sensors.unread import Unread
from sensors.winder import Reports
from tracker import phrases
from tracker.readingwords import reading_said, shown
from tracker.store.sensed.reading import Condition, Heard
from tracker.words import say, written

GAP_INTERVALS = 3
DAY_S = 86_400.0
JUST_NOW = timedelta(minutes=1)
SHOWN = 400
"""So much of a message is shown where a set-up is tried: its places must be seen."""
NAMED = 3
"""So many silent sensors are named in the first line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A sensor of the list: the watch there now, what it says, when it was heard (empty: never), how often to expect it."""

    uid: str
    name: str
    topic: str
    watch: str
    says: str
    heard: str
    expected: str
    rejected: int
    silent: bool
    gaps: str = ""


def moment(at_s: float) -> datetime:
    """Seconds since 1970 as a moment in UTC."""
    return datetime.fromtimestamp(at_s, UTC)


def silent(sensor: Sensor, heard: Heard | None, now: datetime) -> bool:
    """Whether nothing came for a gap."""
    if heard is None or heard.arrived_s is None:
        return True
    return now.timestamp() - heard.arrived_s > GAP_INTERVALS * sensor.expected_s


def row(
    sensor: Sensor, heard: Heard | None, now: datetime, zone: ZoneInfo, *, says: str, watch: str, gaps: str = ""
) -> Row:
    """One sensor as the list shows it."""
    at = None if heard is None or heard.arrived_s is None else moment(heard.arrived_s)
    return Row(
        uid=sensor.uid,
        name=sensor.name,
        topic=sensor.topic,
        watch=watch,
        says=says,
        heard=_heard(at, now, zone) if at else "",
        expected=interval(sensor.expected_s),
        rejected=heard.rejected if heard else 0,
        silent=silent(sensor, heard, now),
        gaps=gaps,
    )


def _heard(at: datetime, now: datetime, zone: ZoneInfo) -> str:
    return say("just now") if now - at < JUST_NOW else phrases.when_and_distance(at, now, zone)


def title(each: Row) -> str:
    """What its own page begins with: the watch, the sensor, and what is known."""
    if each.watch:
        return say("{watch} on {sensor}: {says}.", watch=each.watch, sensor=each.name, says=each.says)
    return say("{sensor}: {says}.", sensor=each.name, says=each.says)


def heard_line(each: Row) -> str:
    """When something was last heard of it."""
    if not each.heard:
        return say("Nothing heard yet; a message is expected every {interval}.", interval=each.expected)
    return say("Last heard {when}; a message is expected every {interval}.", when=each.heard, interval=each.expected)


def awaited(sensor: Sensor) -> str:
    """What a rest sensor must still tell before it is taken for anything."""
    told = {"n": phrases.number(sensor.confirm_readings), "interval": interval(sensor.confirm_s)}
    if sensor.confirm_readings == 1:
        return say("It counts as going or stopped once it has said so for {interval}.", **told)
    return say("It counts as going or stopped once {n} readings in a row have said so, for {interval} or more.", **told)


def taken(heard: Heard) -> str:
    """How many of its messages were readings, and what became of the others."""
    sentences = [say("One reading taken.") if heard.readings == 1 else say("{n} readings taken.", n=heard.readings)]
    if heard.rejected:
        n = heard.rejected
        sentences.append(say("One message rejected.") if n == 1 else say("{n} messages rejected.", n=n))
    if heard.queued:
        why = say("had waited somewhere without saying since when: not used")
        sentences.append(
            say("One message {why}.", why=why)
            if heard.queued == 1
            else say("{n} messages {why}.", n=heard.queued, why=why)
        )
    return " ".join(sentences)


def gaps_said(spans: Sequence[Span], sensor: Sensor, now: datetime, *, is_silent: bool) -> str:
    """How often and how long a rest sensor left us ignorant in the last day and week; empty before its first span."""
    if not spans:
        return ""
    day, week = (gaps(spans, sensor, now, days, is_silent=is_silent) for days in (1, 7))
    if not week:
        return say("none in a week")
    return say("{day} in a day, {week} in a week, {length} in all", day=len(day), week=len(week), length=_length(week))


def gaps(
    spans: Sequence[Span], sensor: Sensor, now: datetime, days: int, *, is_silent: bool
) -> list[tuple[float, float]]:
    """Stretches of the last days in which nothing is known, from and to in seconds since 1970, cut at their start."""
    now_s, least_s = now.timestamp(), GAP_INTERVALS * sensor.expected_s
    starts = [span.to_s for span in spans]
    ends = [span.from_s for span in spans[1:]] + ([now_s] if is_silent else [])
    since_s = now_s - days * DAY_S
    found = [(start, end) for start, end in zip(starts, ends, strict=False) if end - start > least_s]
    return [(max(start, since_s), end) for start, end in found if end > since_s]


def _length(stretches: Sequence[tuple[float, float]]) -> str:
    return phrases.length(timedelta(seconds=sum(end - start for start, end in stretches)) / timedelta(hours=1))


def says_rest(spans: Sequence[Span], now: datetime, zone: ZoneInfo, *, is_silent: bool) -> str:
    """What a rest sensor says now, from its newest spans."""
    if not spans or spans[-1].end != "open":
        return say("not known") if spans else say("not known yet")
    newest = spans[-1]
    since = phrases.when(moment(newest.from_s), now, zone)
    if is_silent:
        return say("was {state}", state=say(newest.state))
    return say("{state} since {since}", state=say(newest.state), since=since)


def says_turns(hours: Sequence[Hour]) -> str:
    """How often a winder channel turned, from its hours of the last 24, as far as is known."""
    known = [hour for hour in hours if hour.known_s]
    if not known:
        return say("no turns known in the last 24 h")
    turns, known_h = sum(hour.turns for hour in known), sum(hour.known_s for hour in known) / 3600.0
    if known_h >= 23.0:  # noqa: PLR2004 -- but for the hour that runs
        return say("{n} turns in the last 24 h", n=round(turns))
    return say("{n} turns in the {hours} h that are known of the last 24", n=round(turns), hours=round(known_h))


def first_line(rows: Sequence[Row]) -> str:
    """Is everything heard? In one sentence."""
    if not rows:
        return say("No sensor is set up yet.")
    lost = [each for each in rows if each.silent]
    if not lost:
        every = {1: say("The one sensor is heard."), 2: say("Both sensors are heard.")}
        return every.get(len(rows), say("All {n} sensors are heard.", n=phrases.number(len(rows))))
    if len(rows) == 1:
        return say("The one sensor, {name}, is silent.", name=lost[0].name)
    more = len(lost) - NAMED
    named = [each.name for each in lost[:NAMED]] + ([say("{n} more", n=phrases.number(more))] if more > 0 else [])
    heard = say(
        "{n} of {all} sensors heard",
        n=phrases.capital(phrases.number(len(rows) - len(lost))),
        all=phrases.number(len(rows)),
    )
    return say("{heard}; silent: {names}.", heard=heard, names=phrases.listed(named))


def topics_line(count: int, *, asked: bool, listening: bool, why: str) -> str:
    """What listening around has found, in one sentence."""
    if why:
        return say("Nothing can be heard.")
    if not asked:
        return say("Which topics are there?")
    if not count:
        return say("Listening; nothing heard yet.") if listening else say("Nothing was heard.")
    return say("One topic heard.") if count == 1 else phrases.capital(say("{n} topics heard.", n=phrases.number(count)))


def rate(per_min: float | None) -> str:
    """How often messages came; empty of a single one."""
    return say("every {interval}", interval=interval(float(f"{60.0 / per_min:.2g}"))) if per_min else ""


def condition(found: Condition | None, now: datetime, zone: ZoneInfo, *, own_broker: bool) -> str:
    """How the listener fares."""
    if found is None or found.state == "stopped":
        return say(
            "Nothing listens at the moment. Name your broker in going.toml, or start with --broker for a first try."
        )
    since = phrases.when(moment(found.since_s), now, zone)
    if found.state == "away":
        why = found.why.rstrip(".")
        return say("Not listening since {since}: {why}. It is tried again and again.", since=since, why=why)
    said = say("Listening since {since}, by MQTT {protocol}.", since=since, protocol=found.protocol)
    if found.why:
        said = say("{said} But: {why}.", said=said, why=found.why.rstrip("."))
    if own_broker:
        said = say("{said} This is the broker of this program: what it holds is lost when it stops.", said=said)
    return said


def interval(seconds: float) -> str:
    """How long from one message to the next."""
    if seconds < 60:  # noqa: PLR2004 -- a minute
        return say("{n} s", n=written(seconds, "g"))
    return phrases.length(timedelta(seconds=seconds) / timedelta(hours=1))


@dataclass(frozen=True, slots=True)
class Tried:
    """A message, when it came, and what a set-up makes of it; `good` if all of it is read."""

    message: str
    came: str
    said: str
    good: bool


def tried(
    messages: Sequence[tuple[float, bytes]], form: Form, reports: Kind | Reports | None, now: datetime, zone: ZoneInfo
) -> list[Tried]:
    """What a set-up makes of these messages."""
    return [
        Tried(
            shown(payload, SHOWN),
            phrases.when(moment(arrived_s), now, zone),
            "; ".join(reading_said(each, reports, now, zone) for each in found),
            not any(isinstance(each, Unread) for each in found),
        )
        for arrived_s, payload in messages
        for found in [read(payload, form, arrived_s)]
    ]


def sorted_rows(rows: Sequence[Row]) -> list[Row]:
    """Those that are silent first, then by name."""
    return sorted(rows, key=lambda each: (not each.silent, each.name.casefold()))


def watches_there(stays: Mapping[str, str], names: Mapping[str, str]) -> dict[str, str]:
    """By sensor, the nickname of the watch that lies there now."""
    return {sensor: names[watch] for sensor, watch in stays.items() if watch in names}
