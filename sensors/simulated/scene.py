"""A collection of simulated sensors: some watches on rest sensors, some seats of a winder box, and their truth."""

import heapq
import math
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from random import Random
from typing import Any

from sensors.payload import Written
from sensors.simulated import channel
from sensors.simulated.channel import Channel
from sensors.simulated.events import Event, Faults, events
from sensors.simulated.life import WEEK_S, Life, Make, lived
from sensors.simulated.seat import Seat, power_lost

WAYS: tuple[Written, ...] = ("json", "senml", "plain")
RESTS = (channel.boolean, channel.level, channel.beats)
SEATS = (channel.counter, channel.increments, channel.turning, channel.power)
RESERVES_H = (38.0, 44.0, 30.0, 70.0, 52.0)


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that is true of a simulation, from `begin_s` to `end_s` in seconds since 1970.

    `lying` says for each rest sensor from when on which watch, by its number, lies there.
    """

    seed: str
    begin_s: float
    end_s: float
    faults: Faults
    makes: tuple[Make, ...]
    lives: tuple[Life, ...]
    lying: tuple[tuple[tuple[float, int], ...], ...]
    rests: tuple[Channel, ...]
    seats: tuple[Seat, ...]
    winders: tuple[Channel, ...]

    def events(self, live_s: float = -math.inf) -> Iterator[Event]:
        """The messages of all sensors in the order in which they go out.

        Those without a time of their own only from `live_s` on: sent later than they are due, they would tell lies. What is
        still on its way at the end is lost.
        """
        bare = {each.topic for each in (*self.rests, *self.winders) if each.fields["written"] == "plain"}
        sent = (each for each in self._events() if each.due_s <= self.end_s)
        return (each for each in sent if each.due_s >= live_s or each.topic not in bare)

    def _events(self) -> Iterator[Event]:
        streams = [
            events(each, self.faults, dice(self.seed, "messages", each.name), self.begin_s, self.end_s)
            for each in (*self.rests, *self.winders)
        ]
        return heapq.merge(*streams)


def dice(*names: str) -> Random:
    """Dice of this name: the same throws each time."""
    return Random("\x1f".join(names))  # noqa: S311 -- a simulation that must repeat, no secret


def scene(
    seed: str,
    begin_s: float,
    end_s: float,
    *,
    watches: int = 3,
    seats: int = 0,
    faults: Faults,
    prefix: str = "sim",
    expected_s: float = 60.0,
    lost_a_year: float = 0.0,
    fails_s: float | None = None,
) -> Scene:
    """A scene: what the sensors report and how they write goes round; reserves do, too.

    `lost_a_year` is the share of their reserve that the watches lose, `fails_s` when the first seat stands still for good.
    """
    makes = tuple(Make(f"Watch {n + 1}", RESERVES_H[n % len(RESERVES_H)], lost_a_year) for n in range(watches))
    lives = tuple(
        lived(make, dice(seed, "life", make.name), begin_s, end_s, lifted_a_week=faults.lifted_a_week) for make in makes
    )
    lying = _lying(seed, watches, begin_s, end_s, faults.swaps_a_week)
    rests = tuple(_rest(n, prefix, expected_s, makes, lives, lying[n], faults) for n in range(watches))
    boxes = tuple(
        Seat(
            f"Seat {n + 1}",
            begin_s,
            fails_s=fails_s if n == 0 else None,
            resets_s=power_lost(dice(seed, "power", str(n)), begin_s, end_s, faults.resets_a_week),
        )
        for n in range(seats)
    )
    winders = tuple(SEATS[n % len(SEATS)](f"{prefix}/seat/{n + 1}", expected_s, seat) for n, seat in enumerate(boxes))
    return Scene(seed, begin_s, end_s, faults, makes, lives, lying, rests, boxes, winders)


def _rest(  # noqa: PLR0917 -- one sensor among the others
    n: int,
    prefix: str,
    expected_s: float,
    makes: tuple[Make, ...],
    lives: tuple[Life, ...],
    lying: tuple[tuple[float, int], ...],
    faults: Faults,
) -> Channel:
    def ticks(at_s: float) -> Make | None:
        watch = lying[max(0, bisect_right(lying, (at_s, math.inf)) - 1)][1]
        return makes[watch] if lives[watch].heard(at_s) else None

    way = WAYS[(n + n // len(RESTS)) % len(WAYS)]
    hears = RESTS[n % len(RESTS)]
    topic = f"{prefix}/rest/{n + 1}"
    return hears(f"Rest {n + 1}", topic, expected_s, way, ticks=ticks, neighbours=faults.neighbours)


def _lying(seed: str, watches: int, begin_s: float, end_s: float, swaps_a_week: float) -> Any:
    """Who lies where: each on its own sensor, until two change places."""
    chance, lying = dice(seed, "swaps"), [[(begin_s, n)] for n in range(watches)]
    at_s = begin_s
    while swaps_a_week > 0.0 and watches > 1 and (at_s := at_s + chance.expovariate(swaps_a_week / WEEK_S)) < end_s:
        one, other = chance.sample(range(watches), 2)
        here, there = lying[one][-1][1], lying[other][-1][1]
        lying[one].append((at_s, there))
        lying[other].append((at_s, here))
    return tuple(tuple(each) for each in lying)


def truth(told: Scene) -> dict[str, Any]:
    """What was true, as plain values for JSON: the set-up of each sensor, runs, times away, who lay where, turns."""
    return {
        "seed": told.seed,
        "from": _iso(told.begin_s),
        "to": _iso(told.end_s),
        "faults": asdict(told.faults),
        "sensors": [each.fields for each in (*told.rests, *told.winders)],
        "watches": [_of_watch(make, life) for make, life in zip(told.makes, told.lives, strict=True)],
        "lying": [
            {"sensor": sensor.name, "watch": told.makes[watch].name, "from": _iso(from_s)}
            for sensor, times in zip(told.rests, told.lying, strict=True)
            for from_s, watch in times
        ],
        "seats": [_of_seat(each, told.end_s) for each in told.seats],
    }


def _of_watch(make: Make, life: Life) -> dict[str, Any]:
    runs = [{"wound": _iso(run.wound_s), "until": _iso(run.until_s), "stopped": run.stopped} for run in life.runs]
    away = [{"from": _iso(from_s), "to": _iso(to_s)} for from_s, to_s in life.away]
    return {"name": make.name, "reserve_h": make.reserve_h, "lost_a_year": make.lost_a_year, "runs": runs, "away": away}


def _of_seat(seat: Seat, end_s: float) -> dict[str, Any]:
    turned = seat.turned(end_s)
    return {
        "name": seat.name,
        "clockwise": round(turned.clockwise, 3),
        "anticlockwise": round(turned.anticlockwise, 3),
        "power_lost": [_iso(at_s) for at_s in seat.resets_s],
        "failed": None if seat.fails_s is None else _iso(seat.fails_s),
    }


def _iso(at_s: float) -> str:
    return datetime.fromtimestamp(at_s, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
