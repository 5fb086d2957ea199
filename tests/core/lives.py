"""Consistent logs of a watch that really lived: wound, lasting so long, noted by someone whose clock is loose."""

from datetime import datetime, timedelta
from itertools import pairwise

from hypothesis import assume
from hypothesis import strategies as st

from tests.core.oracle import START, STEP
from tracker.core.logwalk import ONE_ACT
from tracker.core.timeline import Amount, Entry, Found, Hands, Service, Shown, Sighting, Wear, WearAct, Wind, in_order

COMBINATIONS = 150
"""Above so many combinations of true moments the oracle grows slow, and further notes get no width."""


class Life:
    """Steps of a life; the truth is known here, the notes say of it what a person saw."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.now = 0
        self.stops_at = -1
        self.known_stopped = False
        self.hands_off: int | None = None
        self.dated = False
        self.stands: int | None = None
        self.read = False
        self.combinations = 1
        self.notes: list[Entry] = []

    @property
    def going(self) -> bool:
        return self.now <= self.stops_at

    def uid(self) -> str:
        return f"{len(self.notes):02}"

    def noted(self) -> tuple[datetime, float]:
        width = self.draw(st.sampled_from([0, 0, 1, 2, 18])) if self.combinations < COMBINATIONS else 0
        self.combinations *= 2 * width + 1
        return START + (self.now + self.draw(st.integers(-width, width))) * STEP, width * 10.0

    def shown(self) -> Shown | None:
        if self.going or self.stands is None or self.draw(st.integers(0, 3)) == 0:
            return None
        self.read = True
        date = (START + timedelta(minutes=self.stands)).day if self.dated and self.draw(st.booleans()) else None
        return Shown(minutes=(self.stands + self.draw(st.integers(-10, 10))) % 720, date=date)

    def wind(self) -> None:
        truth: Found = "going" if self.going else "stopped"
        found: Found = self.draw(st.sampled_from([truth, truth, "not noticed"]))
        hands: Hands = self.draw(st.sampled_from(["set now", "set now", "left", "not set", "unknown"]))
        date_set = hands == "set now" and self.draw(st.booleans())
        amount: Amount = self.draw(st.sampled_from(["full", "full", "full", "part", "unsure"]))
        shown = self.shown() if found == "stopped" or (self.known_stopped and found != "going") else None
        at, within = self.noted()
        self.notes.append(
            Wind(
                uid=self.uid(),
                at=at,
                zone="UTC",
                within_min=within,
                found=found,
                hands=hands,
                amount=amount,
                shown=shown,
                date_set=date_set,
            )
        )
        self._hands_after(hands, found, date_set=date_set)
        self.known_stopped = self.read = False
        self.stops_at = self.now + self.draw(st.integers(1, 250))
        self.stands = None if self.hands_off is None else self.stops_at * 10 + self.hands_off

    def _hands_after(self, hands: Hands, found: Found, *, date_set: bool) -> None:
        if hands == "set now":
            self.hands_off, self.dated = 0, date_set
        elif hands == "not set" and self.read and self.stands is not None:
            self.hands_off, self.dated = self.stands - self.now * 10, False
        elif hands != "left" or found != "going":
            self.hands_off = None

    def look(self) -> None:
        at, within = self.noted()
        if not self.going:
            self.notes.append(
                Sighting(uid=self.uid(), at=at, zone="UTC", within_min=within, seen="stopped", shown=self.shown())
            )
            self.known_stopped = True
        elif self.draw(st.booleans()):
            act: WearAct = self.draw(st.sampled_from(["put on", "laid down"]))
            self.notes.append(Wear(uid=self.uid(), at=at, zone="UTC", within_min=within, act=act))
        else:
            self.notes.append(Sighting(uid=self.uid(), at=at, zone="UTC", within_min=within, seen="going"))

    def read_indicator(self) -> None:
        at, within = self.noted()
        self.notes.append(
            Sighting(uid=self.uid(), at=at, zone="UTC", within_min=within, seen="not noticed", indicator_reading=0.5)
        )

    def stop_on_purpose(self) -> None:
        if self.going:
            at, within = self.noted()
            self.notes.append(Sighting(uid=self.uid(), at=at, zone="UTC", within_min=within, seen="stopped on purpose"))
            self.stops_at, self.known_stopped = -1, True
            self.hands_off = self.stands = None

    def service(self) -> None:
        at, within = self.noted()
        self.notes.append(Service(uid=self.uid(), at=at, zone="UTC", within_min=within))
        self.stops_at, self.known_stopped = -1, False
        self.hands_off = self.stands = None


@st.composite
def lives(draw: st.DrawFn) -> list[Entry]:
    """Up to seven notes in their true order, further apart than one act is wide."""
    life = Life(draw)
    acts = [life.wind] * 6 + [life.look] * 6 + [life.read_indicator, life.stop_on_purpose, life.service]
    life.wind()
    for _ in range(draw(st.integers(1, 6))):
        life.now += draw(st.integers(2, 200))
        draw(st.sampled_from(acts))()
    assume(in_order(life.notes) == life.notes)
    assume(all(late.at - early.at > ONE_ACT for early, late in pairwise(life.notes)))
    return life.notes
