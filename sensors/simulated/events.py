"""What a simulated sensor's messages meet with on their way: lost, doubled, late, out of order, with a wrong clock."""

import heapq
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random
from typing import NamedTuple

from sensors.simulated.channel import Channel
from sensors.simulated.life import WEEK_S


@dataclass(frozen=True, slots=True, kw_only=True)
class Faults:
    """What goes wrong, each by itself; all of it none at first.

    `lost`, `doubled` and `late` are shares of the messages; a late one takes up to `late_s`. `skew_s`: a sensor's clock is
    wrong by up to that much. `outages_a_week`: times of up to twelve hours in which nothing is sent. `leftover`: an old
    message lies on each topic, retained. `neighbours`: the share of readings of a still watch in which another one is
    heard. Further ones a week: `lifted`, `swaps` of two watches, `resets` of a seat's counter.
    """

    lost: float = 0.0
    doubled: float = 0.0
    late: float = 0.0
    late_s: float = 7200.0
    skew_s: float = 0.0
    outages_a_week: float = 0.0
    leftover: bool = False
    neighbours: float = 0.0
    lifted_a_week: float = 0.0
    swaps_a_week: float = 0.0
    resets_a_week: float = 0.0


NO_FAULTS = Faults()
JITTER = 0.08
"""A sensor's interval wavers by this share of it."""
LATENCY_S = (0.05, 0.8)


class Event(NamedTuple):
    """A message that goes out at a moment, in seconds since 1970."""

    due_s: float
    topic: str
    payload: bytes
    retained: bool = False


def events(channel: Channel, faults: Faults, chance: Random, begin_s: float, end_s: float) -> Iterator[Event]:
    """All messages of one sensor in the order in which they go out."""
    skew_s = chance.uniform(-faults.skew_s, faults.skew_s)
    outages = _outages(chance, faults, begin_s, end_s)
    waiting: list[Event] = []
    if faults.leftover:
        old_s = begin_s - chance.uniform(3600.0, 86_400.0)
        old = channel.hears(begin_s, begin_s - channel.expected_s, chance)
        waiting.append(Event(begin_s, channel.topic, channel.writes(old, old_s), retained=True))
    before_s = begin_s
    for number in range(1, int((end_s - begin_s) / channel.expected_s)):
        at_s = begin_s + channel.expected_s * (number + chance.uniform(-JITTER, JITTER))
        value = channel.hears(at_s, before_s, chance)
        before_s = at_s
        sent = _sent(Event(at_s, channel.topic, channel.writes(value, at_s + skew_s)), faults, chance)
        for event in sent if not any(begin <= at_s <= end for begin, end in outages) else ():
            heapq.heappush(waiting, event)
        while waiting and waiting[0].due_s <= at_s:
            yield heapq.heappop(waiting)
    yield from sorted(waiting)


def _sent(event: Event, faults: Faults, chance: Random) -> list[Event]:
    """The message as it goes out: not at all, once or twice."""
    lost, doubled, late = (chance.random() < share for share in (faults.lost, faults.doubled, faults.late))
    due_s = event.due_s + chance.uniform(*LATENCY_S) + (chance.uniform(0.0, faults.late_s) if late else 0.0)
    again_s = due_s + chance.uniform(0.0, 60.0)
    if lost:
        return []
    return [event._replace(due_s=due_s)] + ([event._replace(due_s=again_s)] if doubled else [])


def _outages(chance: Random, faults: Faults, begin_s: float, end_s: float) -> list[tuple[float, float]]:
    times, at_s = [], begin_s
    while faults.outages_a_week > 0.0 and (at_s := at_s + chance.expovariate(faults.outages_a_week / WEEK_S)) < end_s:
        times.append((at_s, at_s + chance.uniform(300.0, 43_200.0)))
    return times
