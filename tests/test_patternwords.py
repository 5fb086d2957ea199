"""Patterns in an owner's words and in a bench's."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import get_args
from zoneinfo import ZoneInfo

import pytest

from tracker import patternwords
from tracker.core.cue import Grounds
from tracker.core.decline import Dates, Falls, Finding
from tracker.core.pattern import Gradual, NeverReached, Pattern, ShortFromWear, Sudden, Undecided
from tracker.core.samehour import SameHour
from tracker.core.scattergrown import ScatterGrown
from tracker.core.spread import Band
from tracker.core.watch import Watch

LONDON = ZoneInfo("Europe/London")
DROPPED = datetime(2026, 6, 25, 12, tzinfo=UTC)
DAY = timedelta(days=1)
HAND = Watch(uid="h", nickname="H")
ROTOR = Watch(uid="r", nickname="R", wound_by="crown and rotor")
KEY = Watch(uid="k", nickname="K", wound_by="key")
WEIGHTS = Watch(uid="w", nickname="W", wound_by="weights")
FOUND = Finding(
    evidence="enough", stops=9, going=0, grounds=Grounds(keep=0.9, advised=0.1), falls=Falls(0.9, 0.1, 0.0),
    lost=Band(0.1, 0.15, 0.2), sudden_probability=0.9, sudden_at=Dates(DROPPED - 3 * DAY, DROPPED, DROPPED + 4 * DAY),
    reached=None, least=None, patterns=(), since=DROPPED - 900 * DAY, serviced=True, years=2.5, due_at=None, due=False,
)  # fmt: skip

SEEN: list[tuple[Pattern, str]] = [
    (Gradual(0.996, Band(-0.066, -0.055, -0.044)), "It fell little by little, by about 6 % a year (4 to 7 %; over 99 % likely)."),
    (Sudden(0.97, Band(1, 1, 1)), "It fell at once, between 2026-06-22 and 2026-06-29, most likely about 2026-06-25 (97 % likely)."),
    (Undecided(0.55), "It fell; whether at once or little by little its runs leave open (55 % for at once)."),
    (NeverReached(0.97, "stated", 42.0, Band(33, 35, 36)), "After its service itself it ran 33 to 36 h, below the maker's 42 h (97 % likely)."),
    (NeverReached(0.97, "before", 40.2, Band(33, 35, 36)), "After its service itself it ran 33 to 36 h, less than the 40 h it ran before that service (97 % likely)."),
    (ScatterGrown(0.001, 0.02, 0.058, 42), "Its runs differ more than they did: by about 6 % where it was 2 % (42 stops; at most one in 1,000 by chance)."),
    (SameHour(0.0011, 5, 6, 700, 10), "5 of the 6 stops whose hands were read lie between 11:40 and 12:10 on the dial (at most one in 909 by chance)."),
    (ShortFromWear(0.97, Band(39, 41, 43), Band(28, 30, 31)), "From wear it runs 28 to 31 h, from the crown 39 to 43 h (97 % likely)."),
]  # fmt: skip


@pytest.mark.parametrize(
    ("pattern", "seen"), SEEN, ids=lambda each: type(each).__name__ if not isinstance(each, str) else ""
)
def test_each_pattern_says_what_is_seen_with_its_odds(pattern: Pattern, seen: str) -> None:
    assert patternwords.told(pattern, HAND, FOUND, LONDON, bench=False).seen == seen


@pytest.mark.parametrize("table", [patternwords.LOOK, patternwords.SUGGESTS, patternwords.OWNER, patternwords.BENCH])
def test_every_pattern_has_its_words(table: dict[type[Pattern], str]) -> None:
    assert set(table) == set(get_args(Pattern))


def test_a_fall_says_that_the_log_alone_cannot_tell_spring_from_slip_and_what_can() -> None:
    told = patternwords.told(SEEN[0][0], ROTOR, FOUND, LONDON, bench=True)
    assert "The log alone can't tell them apart, nor either from a bridle that slips early." in told.suggests
    assert told.settles.startswith("Turns left at the stop.")


@pytest.mark.parametrize(
    ("watch", "part"), [(ROTOR, "a bridle that slips early"), (HAND, "an outer hooking that lets go")]
)
def test_a_hand_wound_spring_has_no_bridle(watch: Watch, part: str) -> None:
    for pattern, _ in SEEN:
        told = patternwords.told(pattern, watch, FOUND, LONDON, bench=True)
        assert ("bridle" in f"{told.suggests} {told.settles}") <= watch.by_rotor
    assert part in patternwords.told(SEEN[1][0], watch, FOUND, LONDON, bench=False).suggests


def test_weights_have_no_spring() -> None:
    for pattern in (SEEN[0][0], SEEN[1][0], SEEN[2][0]):
        said = patternwords.told(pattern, WEIGHTS, FOUND, LONDON, bench=False).suggests
        assert "there is no spring" in said
        assert "coil" not in said


def test_a_key_has_half_turns() -> None:
    assert "the key's half-turns" in patternwords.told(SEEN[0][0], KEY, FOUND, LONDON, bench=False).settles


def test_an_owner_is_told_what_to_ask_and_a_bench_what_to_look_at() -> None:
    for pattern, _ in SEEN:
        owner, bench = (patternwords.told(pattern, HAND, FOUND, LONDON, bench=each) for each in (False, True))
        assert owner.seen == bench.seen
        assert owner.settles != bench.settles


def test_the_first_line_names_the_look_of_the_first_pattern() -> None:
    assert patternwords.look(replace(FOUND, patterns=(SEEN[0][0],))) == "a look at its turns"
    assert patternwords.look(FOUND) == "a run-down watched to its end"
