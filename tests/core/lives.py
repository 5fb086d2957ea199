"""Consistent logs of a watch that really lived: wound, lasting so long, noted by someone whose clock is loose."""

from datetime import datetime
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
        self.hands_set = False
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
        if self.going or not self.hands_set or self.draw(st.integers(0, 3)) == 0:
            return None
        return Shown(minutes=(self.stops_at * 10 + self.draw(st.integers(-10, 10))) % 720)

    def wind(self) -> None:
        truth: Found = "going" if self.going else "stopped"
        found: Found = self.draw(st.sampled_from([truth, truth, "not noticed"]))
        hands: Hands = self.draw(st.sampled_from(["set now", "set now", "left", "unknown"]))
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
            )
        )
        self.hands_set = hands == "set now" or (hands == "left" and found == "going" and self.hands_set)
        self.known_stopped = False
        self.stops_at = self.now + self.draw(st.integers(1, 250))

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
            self.stops_at, self.hands_set, self.known_stopped = -1, False, True

    def service(self) -> None:
        at, within = self.noted()
        self.notes.append(Service(uid=self.uid(), at=at, zone="UTC", within_min=within))
        self.stops_at, self.hands_set, self.known_stopped = -1, False, False


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
