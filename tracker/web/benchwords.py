"""The bench in sentences."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.bench import OnTest
from tracker.core.benchtest import BenchTest
from tracker.core.readingsdue import Due
from tracker.core.rundown import RunDown
from tracker.figures import Figures
from tracker.web import runwords, telling
from tracker.words import say

OCCASIONS = {
    "in between": "between two services",
    "after service": "after service",
    "before service": "before service",
}
POSITIONS = {
    "": "not said",
    "CH": "CH, dial up",
    "CB": "CB, dial down",
    "3H": "3H uppermost",
    "6H": "6H uppermost",
    "9H": "9H uppermost",
    "12H": "12H uppermost",
}
"""By ISO 3158."""
ENDED = {
    "stop read": "its stop was read off its hands",
    "stop seen": "its stop was seen",
    "sensor": "its sensor told its stop",
    "broken off": "broken off",
}
HOUR = timedelta(hours=1)
SURELY = 0.99


def first_line(tests: Sequence[OnTest], now: datetime, zone: ZoneInfo) -> str:
    """What is on the bench? In a sentence."""
    going = [each for each in tests if each.state == "going"]
    over = len(tests) - len(going)
    if not tests:
        return say("No run-down test is going.")
    if not going:
        return say("One run-down is over.") if over == 1 else say("{n} run-downs are over.", n=_counted(over))
    said = say("One run-down going") if len(going) == 1 else say("{n} run-downs going", n=_counted(len(going)))
    said = say("{going}, {n} over", going=said, n=phrases.number(over)) if over else said
    looks = [each.next_look for each in going if each.next_look is not None]
    if not looks:
        return say("{going}; no look is needed.", going=said)
    if min(looks) <= now:
        return say("{going}; a look is due since {when}.", going=said, when=_when(min(looks), now, zone))
    return say("{going}; next look at {when}.", going=said, when=_when(min(looks), now, zone))


def _counted(count: int) -> str:
    return phrases.capital(phrases.number(count))


def _when(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    if phrases.day(moment, now, zone) == phrases.day(now, now, zone):
        return phrases.clock_time(moment, zone)
    return phrases.when(moment, now, zone)


def occasions() -> list[tuple[str, str]]:
    """The occasions to choose from, as word and label."""
    return [(word, say(label)) for word, label in OCCASIONS.items()]


def positions() -> list[tuple[str, str]]:
    """The positions to choose from, as word and label; the first is none."""
    return [(word, say(label)) for word, label in POSITIONS.items()]


def begun(test: BenchTest, now: datetime, zone: ZoneInfo) -> str:
    """Since when, in which position and at which occasion."""
    if test.wound_at is None:
        return say("Its winding was taken out of the log.")
    said = [say("Wound fully {when}", when=phrases.when(test.wound_at, now, zone)), say(OCCASIONS[test.occasion])]
    return ", ".join(said + ([say(POSITIONS[test.position])] if test.position else [])) + "."


def known(one: OnTest, now: datetime, zone: ZoneInfo) -> str:
    """What is known of its run as it stands."""
    if one.ended is not None:
        return say("It ran {told}; {how}.", told=result(one.each, one.ended), how=runwords.ended(one.ended, now, zone))
    if one.state == "no run":
        return say("The log has no run of it that goes on.")
    if not isinstance(one.each, Figures):
        return say("How long it lasts is still being worked out.")
    run = one.each.history.current
    seen = ""
    if run is not None and run.last_seen_at is not None:
        seen = say("Seen going last {when}. ", when=phrases.when(run.last_seen_at, now, zone))
    state = phrases.capital(telling.state(one.each).partition(":")[0])
    left = telling.left(one.each)
    return seen + (say("{state}, {left} left.", state=state, left=left) if left else say("{state}.", state=state))


def rather_stopped(one: OnTest) -> bool:
    """Whether it would rather be found stopped than going."""
    return isinstance(one.each, Figures) and telling.likely_stopped(one.each)


def result(each: object, run: RunDown | None) -> str:
    """The hours that a run lasted, as the log tells them."""
    if run is None:
        return say("not in the log")
    near_h = each.estimate.reserve_h.mid if isinstance(each, Figures) else 0.0
    return runwords.told(run, near_h)


def to_do(one: OnTest, now: datetime, zone: ZoneInfo) -> str:
    """When to look next, and why then."""
    if one.sensor:
        return say("Its sensor {name} hears it: no look is needed, its stop is the stop.", name=one.sensor)
    if one.next_look is None or one.plan is None:
        return ""
    stopped = one.looks[0][1]
    if one.next_look <= now:
        said = say("Look at it now: the look was due {when}.", when=phrases.when(one.next_look, now, zone))
        return f"{said} {_why(one, stopped, due=True)}"
    said = say("Next look {when}.", when=phrases.when_and_distance(one.next_look, now, zone))
    return f"{said} {_why(one, stopped, due=False)}"


def _why(one: OnTest, stopped: float, *, due: bool) -> str:
    if one.reads_hands and stopped > SURELY:
        if due:
            return say("It must have stopped by now, and its hands tell when, to minutes.")
        return say("By then it must have stopped, and its hands tell when, to minutes.")
    chance = phrases.chance(stopped)
    by_then = say("By then it has stopped with a chance of {chance}.", chance=chance)
    if due:
        by_then = say(
            "When it was due, it had stopped with a chance of {chance}; by now that is no less.", chance=chance
        )
    if one.reads_hands:
        return say(
            "{by_then} If it stands, its hands tell when; if it goes, which round of the hands it will be.",
            by_then=by_then,
        )
    return say("{by_then} Nobody noted that its hands were set, so that looks alone tell its stop.", by_then=by_then)


def later(one: OnTest, now: datetime, zone: ZoneInfo) -> str:
    """The looks after the next one."""
    if len(one.looks) < 2 or one.looks[0][1] > SURELY:  # noqa: PLR2004 -- one beside the next
        return ""
    return say("If it still goes then: {when}.", when=phrases.when(one.looks[1][0], now, zone))


def how_ended(test: BenchTest) -> str:
    """What ended a test."""
    said = say(ENDED[test.ended_by or "broken off"])
    return say("{said}: {reason}", said=said, reason=say(test.reason)) if test.reason else said


_DUE: dict[Due, tuple[str, str, str]] = {
    # in words, and the occasion and minutes since the wind that the form opens with
    "before service": ("as it came in", "before service", "30"),
    "after service, at full wind": ("after its service, at full wind", "after service", "30"),
    "after service, after 24 h": ("after its service, after 24 h", "after service", "1440"),
}


def due(told: Sequence[Due]) -> list[tuple[str, str, str]]:
    """Readings that are due: in words, and what the form of readings opens with."""
    return [(say(_DUE[each][0]), *_DUE[each][1:]) for each in told]
