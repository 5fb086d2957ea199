"""A cue as its owner lives with it."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.cue import RAISE, REARM, Cue, Grounds, Turn, next_cue

NOW = datetime(2026, 11, 25, tzinfo=UTC)
SERVICE = datetime(2024, 5, 1, tzinfo=UTC)
DAY = timedelta(days=1)

BETWEEN = st.floats(REARM, RAISE, exclude_max=True)
LIKELY = st.floats(0.0, 1.0)


@st.composite
def some_grounds(draw: st.DrawFn, likely: st.SearchStrategy[float] = LIKELY) -> Grounds:
    keep, advised = draw(likely), draw(likely)
    service = draw(st.sampled_from([None, SERVICE, SERVICE + 400 * DAY]))
    return Grounds(
        keep=max(keep, advised), advised=min(keep, advised), may_raise=draw(st.booleans()), service_at=service
    )


def steady(keep: float, advised: float = 0.0, *, may_raise: bool = True) -> Grounds:
    return Grounds(keep=keep, advised=advised, may_raise=may_raise, service_at=SERVICE)


def lived(grounds: Sequence[Grounds], cue: Cue | None = None) -> tuple[Cue | None, list[str]]:
    """The cue after these days, and what happened on them."""
    told: list[str] = []
    for each in grounds:
        while (turn := next_cue(cue, each)) is not None:
            told.append(turn.why)
            cue = turn.cue
    return cue, told


@pytest.mark.parametrize(
    ("keep", "advised", "step"), [(0.7, 0.0, "keep an eye"), (0.9, 0.69, "keep an eye"), (0.9, 0.7, "service advised")]
)
def test_a_cue_is_raised_at_seven_in_ten(keep: float, advised: float, step: str) -> None:
    turn = next_cue(None, steady(keep, advised))
    assert turn is not None
    assert turn.why == "raised"
    assert turn.cue is not None
    assert (turn.cue.step, turn.cue.service_at, turn.cue.quiet_until) == (step, SERVICE, None)


@pytest.mark.parametrize("grounds", [steady(0.699), steady(1.0, 1.0, may_raise=False)])
def test_nothing_is_raised_below_that_or_without_evidence_enough(grounds: Grounds) -> None:
    assert next_cue(None, grounds) is None


@given(st.lists(some_grounds(BETWEEN), max_size=30), st.sampled_from([None, "keep an eye", "service advised"]))
def test_between_raise_and_rearm_nothing_ever_changes(grounds: list[Grounds], step: str | None) -> None:
    cue = None if step is None else Cue(step=step, service_at=SERVICE + 999 * DAY)  # type: ignore[arg-type]  # hypothesis widens the word
    assert lived(grounds, cue) == (cue, [])


@given(st.lists(some_grounds(), max_size=40))
def test_it_is_raised_and_cleared_by_turns_and_only_across_both_bounds(grounds: list[Grounds]) -> None:
    cue: Cue | None = None
    before = cue
    for each in grounds:
        while (turn := next_cue(cue, each)) is not None:
            before, cue = cue, turn.cue
            assert (before is None) == (turn.why == "raised")
            assert (cue is None) == turn.why.startswith("cleared")
            if turn.why == "raised":
                assert each.keep >= RAISE
            if turn.why == "cleared by evidence":
                assert each.keep < REARM


@given(some_grounds(), st.sampled_from([None, "keep an eye", "service advised"]), st.sampled_from([None, -DAY, DAY]))
def test_it_comes_to_rest_at_once(grounds: Grounds, step: str | None, quiet: timedelta | None) -> None:
    cue = None
    if step is not None:
        cue = Cue(step=step, service_at=SERVICE, quiet_until=quiet and NOW + quiet)  # type: ignore[arg-type]  # as above
    for _ in range(4):
        turn = next_cue(cue, grounds)
        if turn is None:
            return
        cue = turn.cue
    pytest.fail("it went on and on")


def test_a_service_clears_it_and_a_new_fall_raises_another() -> None:
    after = Grounds(keep=0.9, advised=0.0, service_at=SERVICE + 400 * DAY)
    cue, told = lived([steady(0.9), after])
    assert told == ["raised", "cleared by service", "raised"]
    assert cue is not None
    assert cue.service_at == after.service_at


def test_a_service_taken_out_again_clears_nothing_by_itself() -> None:
    raised = Cue(step="keep an eye", service_at=SERVICE + 400 * DAY)
    assert next_cue(raised, steady(0.5)) is None
    assert next_cue(raised, Grounds(keep=0.5, advised=0.0, service_at=None)) is None


def test_evidence_taken_away_clears_it_below_the_lower_bound_only() -> None:
    assert lived([steady(0.8), steady(0.36), steady(0.34)])[1] == ["raised", "cleared by evidence"]


def test_a_worse_step_is_the_same_cue_and_comes_back_below_the_lower_bound() -> None:
    cue, told = lived([steady(0.8), steady(0.95, 0.75), steady(0.9, 0.36), steady(0.9, 0.34)])
    assert told == ["raised", "worse", "better"]
    assert cue == Cue(step="keep an eye", service_at=SERVICE)


def test_without_evidence_enough_it_gets_no_worse() -> None:
    assert lived([steady(0.8), steady(1.0, 1.0, may_raise=False)])[1] == ["raised"]


def test_during_silence_a_worse_step_speaks_and_a_better_one_keeps_silent() -> None:
    until = NOW + 90 * DAY
    worse = next_cue(Cue(step="keep an eye", quiet_until=until), Grounds(keep=0.9, advised=0.8))
    assert worse == Turn("worse", Cue(step="service advised"))
    better = next_cue(Cue(step="service advised", quiet_until=until), Grounds(keep=0.9, advised=0.2))
    assert better == Turn("better", Cue(step="keep an eye", quiet_until=until))
