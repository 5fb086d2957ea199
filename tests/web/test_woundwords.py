from datetime import timedelta

import pytest

from tests.web.rounds import HOUR, NOW, of_watch, wound
from tracker.core.timeline import Entry, OnWinder, Sighting, Wear, Wind
from tracker.core.watch import Watch
from tracker.web.woundwords import counted_from

CROWN = Watch(uid="c", nickname="c", crown_turns_to_full=28)
ROTOR = Watch(uid="r", nickname="r", wound_by="crown and rotor")
SHOWING = Watch(uid="s", nickname="s", indicator="fraction")
PART = Wind(uid="p", at=NOW - HOUR, zone="UTC", amount="part", found="stopped", crown_turns=14)


def counted(days_ago: int, turns: float) -> Wind:
    return Wind(uid=f"t{days_ago}", at=NOW - timedelta(days=days_ago), zone="UTC", found="stopped", crown_turns=turns)


def wear(hours_ago: float, act: str) -> Wear:
    return Wear(uid=f"{act}{hours_ago}", at=NOW - hours_ago * HOUR, zone="UTC", act=act)  # type: ignore[arg-type]


def winder(turns: float) -> OnWinder:
    return OnWinder(uid="o", at=NOW - HOUR, zone="UTC", act="on", turns_a_day=turns)


def reading(hours_ago: float, shows: float, seen: str = "going") -> Sighting:
    return Sighting(uid=f"i{hours_ago}", at=NOW - hours_ago * HOUR, zone="UTC", seen=seen, indicator_reading=shows)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("watch", "entries", "sentence"),
    [
        (CROWN, [wound(2)], ""),
        (CROWN, [PART], "Wound in part, 14 turns: its hours count from that; by the register about 28 fill it."),
        (
            CROWN,
            [counted(9, 30), counted(7, 31), counted(5, 32), PART],
            "Wound in part, 14 turns: its hours count from that; 30 to 32 fill it, as counted at three windings.",
        ),
        (
            ROTOR,
            [wound(4), wear(2, "put on"), wear(1, "laid down")],
            "Its hours count from how long it was worn, if 7 to 27 h of wear wind it from stopped to full (no run of its log "  # noqa: ISC004 -- one sentence
            "tells it yet).",
        ),
        (
            ROTOR,
            [wound(2), winder(400)],
            "Its hours count with 400 turns a day on its winder; a watch usually needs 650 to 800.",
        ),
        (
            Watch(uid="r", nickname="r", wound_by="rotor only", winder_turns_a_day=500),
            [wound(2), winder(400)],
            "Its hours count with 400 turns a day on its winder; it needs 500 by the register.",
        ),
        (
            SHOWING,
            [wound(20), reading(1, 0.5)],
            "Its hours count from what its indicator showed, on a scale whose ends nobody has noted yet.",
        ),
        (
            SHOWING,
            [wound(90), reading(89.5, 1.0), reading(30, 0.0, "stopped"), wound(20), reading(1, 0.5)],
            "Its hours count from what its indicator showed; both ends of its scale were seen.",
        ),
        (ROTOR, [wear(2, "put on")], ""),
    ],
)
def test_it_is_said_from_what_the_hours_count_and_how_well_that_is_known(
    watch: Watch, entries: list[Entry], sentence: str
) -> None:
    assert counted_from(of_watch(watch, *entries)) == sentence
