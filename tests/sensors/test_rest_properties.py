"""What holds of any readings whatever. GOING_EXAMPLES says of how many sets of them; `make soak` asks for ten thousand."""

import os
from bisect import bisect_right
from collections.abc import Iterator
from itertools import groupby, pairwise
from random import Random
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sensors import follow
from sensors.follow import Follower
from sensors.kinds import Beats, Boolean, Kind, Level, State
from sensors.rest import Found, Setup, Span, Stop, Unlike, fold, tail
from sensors.stamp import BEHIND_S

Readings = list[tuple[float, float]]

many = settings(max_examples=int(os.environ.get("GOING_EXAMPLES", "200")), deadline=None, derandomize=True)

KINDS: list[Kind] = [Boolean(), Level(0.7, 0.2), Beats(60, 0.2, 60)]
SETUPS = st.builds(
    Setup,
    st.sampled_from(KINDS),
    st.just(60.0),
    confirm_readings=st.integers(1, 4),
    confirm_s=st.sampled_from([0.0, 60.0, 120.0]),
)
PAUSES_S = st.sampled_from([0.0, 1.0, 30.0, 60.0, 60.0, 60.0, 61.0, 180.0, 180.5, 3600.0, 0.49 * BEHIND_S])
"""From one reading to the next: at once, as expected, at the edge of a gap, a gap, and so long that days are settled."""
VALUES = st.sampled_from([0.0, 0.0, 0.5, 1.0, 1.0])


def stamped(pauses: list[tuple[float, float]]) -> Readings:
    at_s, found = 1000.0, []
    for pause_s, value in pauses:
        at_s += pause_s
        found.append((at_s, value))
    return found


ANY = st.lists(st.tuples(PAUSES_S, VALUES), max_size=70).map(stamped)
YES_NO = st.lists(st.tuples(PAUSES_S, st.sampled_from([0.0, 1.0])), max_size=70).map(stamped)
IN_STRETCHES = st.lists(
    st.tuples(st.integers(1, 8), st.sampled_from([30.0, 60.0, 60.0, 180.0]), PAUSES_S, st.sampled_from([0.0, 1.0])),
    max_size=12,
).map(
    lambda parts: stamped(
        [(first if not place else pause, value) for count, pause, first, value in parts for place in range(count)]
    )
)
"""Long stretches of one state, which single draws seldom give."""


def as_they_come(readings: Readings, chance: Random) -> Readings:
    """In an order in which none is more than a day behind the newest, some of them twice and thrice."""
    delays_s = [0.0, 0.0, 100.0, 5000.0, 0.5 * BEHIND_S, 0.97 * BEHIND_S, 0.999 * BEHIND_S]
    copies = [each for each in readings for _ in range(chance.choice([1, 1, 1, 2, 3]))]
    return [
        each
        for _, each in sorted(
            (each[0] + chance.choice(delays_s) * chance.choice([1.0, chance.random()]), each) for each in copies
        )
    ]


@pytest.fixture(autouse=True, scope="module")
def marks_are_close() -> Iterator[None]:
    """So that a handful of readings goes over many of them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(follow, "MARK_EVERY", 3)
        yield


@many
@given(SETUPS, st.one_of(ANY, IN_STRETCHES), st.randoms(use_true_random=False))
def test_at_any_moment_what_is_known_is_what_the_readings_so_far_tell_in_order(
    setup: Setup, readings: Readings, chance: Random
) -> None:
    """Late, doubled, in batches of any size, one by one, taken up again from the mark: always as if all had come in order."""
    came = as_they_come(readings, chance)
    follower, settled, place = Follower(setup), [], 0
    while place < len(came):
        size = chance.choice([1, 1, 2, 7, 70])
        assert follower.add(came[place : place + size]) == []
        place += size
        settled += follower.settled()
        assert (follower.course, settled + follower.recent) == fold(setup, sorted(came[:place]))
        if chance.random() < 0.1:
            mark = follower.mark
            follower = Follower(setup, mark)
            follower.add(sorted(each for each in came[:place] if each[0] > mark.upto_s))


class Run(NamedTuple):
    """Readings in a row that say the same, with no gap between them; `contact` tells stretches between gaps apart."""

    state: State
    first_s: float
    last_s: float
    contact: int


def held_runs(setup: Setup, readings: Readings) -> tuple[list[Run], int]:
    """Those that held long enough to count, of a sensor that says yes or no; and the contact that there is at the end."""
    values: dict[float, set[float]] = {}
    for at_s, value in readings:
        values.setdefault(at_s, set()).add(value)
    plain = [(at_s, "going" if value else "stopped") for at_s, (value, *unlike) in sorted(values.items()) if not unlike]
    gaps_s = [later for (earlier, _), (later, _) in pairwise(plain) if later - earlier > setup.gap_s]
    found = []
    for (contact, state), group in groupby(plain, lambda each: (bisect_right(gaps_s, each[0]), each[1])):
        stamps = [at_s for at_s, _ in group]
        if len(stamps) >= setup.confirm_readings and stamps[-1] - stamps[0] >= setup.confirm_s:
            found.append(Run("going" if state == "going" else "stopped", stamps[0], stamps[-1], contact))
    return found, len(gaps_s)


def expected(setup: Setup, readings: Readings) -> tuple[list[Stop], list[Span]]:
    """Stops and spans by their definition, looked up in all readings at once."""
    runs, last_contact = held_runs(setup, readings)
    stops = [
        Stop(one.last_s, other.first_s)
        for one, other in pairwise(runs)
        if (one.state, other.state) == ("going", "stopped")
    ]
    spans: list[Span] = []
    contacts: list[int] = []
    for (contact, state), group in groupby(runs, lambda run: (run.contact, run.state)):
        held = list(group)
        if contacts and contacts[-1] == contact:
            spans[-1] = spans[-1]._replace(end=state)
        spans.append(Span(state, held[0].first_s, held[-1].last_s, "unknown"))
        contacts.append(contact)
    if contacts and contacts[-1] == last_contact:
        spans[-1] = spans[-1]._replace(end="open")
    return stops, spans


BOOLEAN = st.builds(
    Setup,
    st.just(Boolean()),
    st.just(60.0),
    confirm_readings=st.integers(1, 4),
    confirm_s=st.sampled_from([0.0, 60.0, 120.0]),
)


@many
@given(BOOLEAN, st.one_of(YES_NO, IN_STRETCHES))
def test_stops_and_spans_are_those_of_their_definition(setup: Setup, readings: Readings) -> None:
    course, found = fold(setup, sorted(readings))
    last = tail(setup, course, course.heard_s or 0.0)
    spans = [each for each in found if isinstance(each, Span)] + ([last] if last else [])
    assert ([each for each in found if isinstance(each, Stop)], spans) == expected(setup, readings)


@many
@given(SETUPS, st.lists(st.tuples(PAUSES_S, st.just(1.0)), max_size=70).map(stamped))
def test_silence_alone_is_never_a_stop(setup: Setup, readings: Readings) -> None:
    """However often and long a sensor is silent: one that never said *stopped* tells of no stop and no rest."""
    _, found = fold(setup, readings)
    assert all(isinstance(each, Span) and (each.state, each.end) == ("going", "unknown") for each in found)


CHANGES = st.lists(st.floats(1.0, 40_000.0), max_size=6, unique=True).map(sorted)


@many
@given(BOOLEAN, CHANGES, st.lists(PAUSES_S, max_size=200), st.randoms(use_true_random=False))
def test_whatever_is_lost_every_bracket_holds_a_true_stop_and_every_going_span_is_begun_and_ended_going(
    setup: Setup, changes: list[float], pauses: list[float], chance: Random
) -> None:
    """A watch that goes and stops at these moments, heard truly but only here and there."""
    true = [
        (at_s, float(bisect_right(changes, at_s) % 2 == 0)) for at_s, _ in stamped([(pause, 0.0) for pause in pauses])
    ]
    heard = [each for each in true if chance.random() < 0.8]
    _, found = fold(setup, sorted(heard))
    found_of: list[Found] = [each for each in found if not isinstance(each, Unlike)]
    assert found_of == found
    for each in found:
        if isinstance(each, Stop):
            assert any(each.after_s < stop_s <= each.before_s for stop_s in changes[::2])
        if isinstance(each, Span):
            going = {bisect_right(changes, at_s) % 2 == 0 for at_s in (each.from_s, each.to_s)}
            assert going == {each.state == "going"}
