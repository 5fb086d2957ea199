"""Consistent logs of a watch that really lived: wound, worn, lasting so long, noted by people whose clocks are loose."""

from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import pairwise
from random import Random

from hypothesis import strategies as st

from tests.core.oracle import ONE_ACT, START, STEP
from tracker.core.timeline import (
    Amount,
    Entry,
    Found,
    Hands,
    OnWinder,
    Seen,
    Service,
    Shown,
    Sighting,
    Silent,
    Unheard,
    Wear,
    WearAct,
    Wind,
    WinderAct,
    in_order,
)
from tracker.core.watch import Watch

COMBINATIONS = 100
"""Above so many combinations of true moments the oracle grows slow, and further notes get no width."""

HANDS: dict[Found, list[Hands]] = {
    "going": ["left", "left", "left", "set now", "unknown"],
    "stopped": ["not set", "not set", "not set", "set now", "set now", "unknown"],
    "not noticed": ["set now", "left", "not set", "unknown"],
}


class Life:
    """Steps of a life; the truth is known here, the notes say of it what a person saw."""

    def __init__(self, watch: Watch, chance: Random) -> None:
        self.watch = watch
        self.chance = chance
        self.now = 0
        self.stops_at = -1
        self.on_wrist = False
        self.on_winder = False
        self.known_stopped = False
        self.hands_off = self.chance.choice([0, self.anywhere()])
        self.dated = False
        self.stands = 0
        self.read = False
        self.combinations = 1
        self.notes: list[Entry] = []
        self.again: set[str] = set()

    @property
    def going(self) -> bool:
        return self.on_wrist or self.on_winder or self.now <= self.stops_at

    @property
    def uid(self) -> str:
        return f"{len(self.notes):02}"

    def anywhere(self) -> int:
        """So many minutes the hands are off if nobody knows how they were left."""
        return self.chance.randrange(self.watch.dial_hours * 60)

    def starts(self) -> None:
        """From here it will last so long, unless it is on the wrist."""
        self.stops_at = self.now + self.chance.randint(1, self.chance.choice([40, 250]))
        self.stands = self.stops_at * 10 + self.hands_off

    def noted(self) -> tuple[datetime, float]:
        width = self.chance.choice([0, 0, 1, 2, 18]) if self.combinations < COMBINATIONS else 0
        self.combinations *= 2 * width + 1
        return START + (self.now + self.chance.randint(-width, width)) * STEP, width * 10.0

    def used(self) -> bool:
        return self.chance.random() < 0.1

    def shown(self) -> Shown | None:
        if self.going or self.chance.randint(0, 4) == 0:
            return None
        self.read = True
        date = (START + timedelta(minutes=self.stands)).day if self.dated and self.chance.randint(0, 1) else None
        return Shown(minutes=(self.stands + self.chance.randint(-10, 10)) % (self.watch.dial_hours * 60), date=date)

    def wind(self) -> None:
        truth: Found = "going" if self.going else "stopped"
        found: Found = self.chance.choice([truth, truth, "not noticed"])
        hands = self.chance.choice(HANDS[found])
        date_set = hands == "set now" and self.chance.randint(0, 1) == 1
        amount: Amount = self.chance.choice(["full", "full", "full", "full", "part", "unsure"])
        shown = self.shown() if found == "stopped" or (self.known_stopped and found != "going") else None
        self._wound(found, hands, amount, shown, date_set=date_set)
        self._hands_after(hands, found, date_set=date_set)
        self.known_stopped = self.read = False
        self.starts()

    def wind_again(self) -> None:
        """Someone winds it once more within one act, and may not know that it has just been wound."""
        before = self.notes[-1]
        if not isinstance(before, Wind) or before.amount != "full":
            return
        self.now += 1
        self.again.add(self.uid)
        found: Found = self.chance.choice(["going", "stopped", "not noticed"])
        hands = self.chance.choice(HANDS[found])
        self._wound(found, hands, "full", None, date_set=False)
        if hands != "not set":
            self._hands_after(hands, "going", date_set=False)
        self.starts()

    def _wound(self, found: Found, hands: Hands, amount: Amount, shown: Shown | None, *, date_set: bool) -> None:
        at, within = self.noted()
        self.notes.append(
            Wind(
                uid=self.uid,
                at=at,
                zone="UTC",
                within_min=within,
                found=found,
                hands=hands,
                amount=amount,
                shown=shown,
                date_set=date_set,
                side_spring_used=self.used(),
            )
        )

    def _hands_after(self, hands: Hands, found: Found, *, date_set: bool) -> None:
        if hands == "set now":
            self.hands_off, self.dated = 0, date_set
        elif hands == "not set" and self.read:
            self.hands_off, self.dated = self.stands - self.now * 10, False
        elif hands != "left" or found != "going":
            self.hands_off, self.dated = self.anywhere(), False

    def look(self) -> None:
        at, within = self.noted()
        if self.going and not self.watch.by_rotor and self.chance.randint(0, 1):
            act: WearAct = self.chance.choice(["put on", "laid down"])
            self.notes.append(Wear(uid=self.uid, at=at, zone="UTC", within_min=within, act=act))
            return
        self.known_stopped = self.known_stopped or not self.going
        self.notes.append(
            Sighting(
                uid=self.uid,
                at=at,
                zone="UTC",
                within_min=within,
                seen="going" if self.going else "stopped",
                shown=self.shown(),
                side_spring_used=self.used(),
            )
        )

    def heard(self) -> None:
        """A sensor tells of it, to the minute: going, stopped, out of hearing for a while, or lifted."""
        at, lost = START + self.now * STEP, self.chance.random()
        if self.going and lost < 0.3:
            self.notes.append(Silent(uid=self.uid, at=at, zone="UTC"))
        elif self.going and lost < 0.6:
            self.notes.append(Unheard(uid=self.uid, at=at, zone="UTC"))
        else:
            self.known_stopped = self.known_stopped or not self.going
            seen: Seen = "going" if self.going else "stopped"
            self.notes.append(Sighting(uid=self.uid, at=at, zone="UTC", seen=seen, by_sensor=True))

    def wear(self) -> None:
        """Put on or laid down; an automatic starts when it is lifted, and then nobody knows what its hands show."""
        if not self.going and not self.known_stopped:
            return  # what may have been noted as going of late is taken to be going, so nobody lifts it in between
        at, within = self.noted()
        act: WearAct = "laid down" if self.on_wrist or self.chance.randint(0, 3) == 0 else "put on"
        self.notes.append(Wear(uid=self.uid, at=at, zone="UTC", within_min=within, act=act))
        if not self.going:
            self.hands_off, self.dated = self.anywhere(), False
        self.on_wrist, self.on_winder, self.known_stopped, self.read = act == "put on", False, False, False
        self.starts()

    def winder(self) -> None:
        """Put on a winder or taken off it: it keeps it going there, and starts it if it stood."""
        if not self.going and not self.known_stopped:
            return
        at, within = self.noted()
        act: WinderAct = "off" if self.on_winder or self.chance.randint(0, 3) == 0 else "on"
        self.notes.append(OnWinder(uid=self.uid, at=at, zone="UTC", within_min=within, act=act, turns_a_day=900.0))
        if not self.going:
            self.hands_off, self.dated = self.anywhere(), False
        self.on_winder, self.on_wrist, self.known_stopped, self.read = act == "on", False, False, False
        self.starts()

    def read_indicator(self) -> None:
        at, within = self.noted()
        self.notes.append(
            Sighting(uid=self.uid, at=at, zone="UTC", within_min=within, seen="not noticed", indicator_reading=0.5)
        )

    def stop_on_purpose(self) -> None:
        if self.going:
            at, within = self.noted()
            self.notes.append(Sighting(uid=self.uid, at=at, zone="UTC", within_min=within, seen="stopped on purpose"))
            self.stops_at, self.known_stopped, self.on_wrist, self.on_winder = -1, True, False, False
            self.stands = self.now * 10 + self.hands_off

    def service(self) -> None:
        at, within = self.noted()
        self.notes.append(Service(uid=self.uid, at=at, zone="UTC", within_min=within))
        self.known_stopped, self.on_wrist, self.on_winder = False, False, False
        self.hands_off, self.dated = self.anywhere(), False
        self.starts()
        self.stops_at = self.chance.choice([-1, self.stops_at])


def life(watch: Watch, seed: int) -> list[Entry]:
    """Up to eight notes in their true order, further apart than one act is wide unless they are one act."""
    chance = Random(seed)
    while True:
        one = Life(watch, chance)
        notes = _notes(one)
        apart = (late.at - early.at > ONE_ACT or late.uid in one.again for early, late in pairwise(notes))
        if in_order(notes) == notes and all(apart):
            return notes


def lives(watch: Watch) -> st.SearchStrategy[list[Entry]]:
    return st.integers(0, 2**32 - 1).map(lambda seed: life(watch, seed))


def _notes(one: Life) -> list[Entry]:
    one.wind()
    for _ in range(one.chance.randint(1, 7)):
        act = one.chance.choice(_acts(one))
        one.now += 0 if act == one.wind_again else one.chance.randint(2, one.chance.choice([20, 200]))
        act()
    return one.notes


def _acts(one: Life) -> list[Callable[[], None]]:
    """What may come next; one that stands is looked at or wound."""
    often = [one.wind, one.look] * 5 + [one.heard] * 3 + ([one.wear] * 4 + [one.winder]) * one.watch.by_rotor
    return often + [one.wind_again, one.wind_again, one.read_indicator, one.stop_on_purpose, one.service] * one.going
