"""A history read before, and a sensor that hears on: the same as if it were read anew."""

from dataclasses import replace

from tests.core.hearing import heard, history, moment
from tracker.core.stillheard import still_heard

WOUND = "2026-03-02 08:00 ±10  wound"
SHORT = heard("2026-03-02 08:15 – 2026-03-02 20:00  lost")
LONG = heard("2026-03-02 08:15 – 2026-03-03 09:00  lost")


def test_it_is_what_reading_anew_would_give() -> None:
    anew, carried = history(WOUND, LONG), still_heard(history(WOUND, SHORT), LONG.spells[0])
    assert carried.current is not None
    assert anew.current is not None
    assert (carried.last.state, carried.last.since) == (anew.last.state, anew.last.since)
    assert carried.current.seen_going_h == anew.current.seen_going_h
    assert carried.current.last_seen_at == anew.current.last_seen_at


def test_what_was_noted_since_stays_the_last_word() -> None:
    stood = history(f"{WOUND}\n2026-03-02 22:00  stopped on purpose", SHORT)
    assert still_heard(stood, LONG.spells[0]) == stood


def test_another_spell_or_sensor_says_nothing_of_it() -> None:
    short, later = history(WOUND, SHORT), replace(LONG.spells[0], start=moment("2026-03-02 21:00"))
    assert still_heard(short, later) == short
    assert still_heard(short, replace(LONG.spells[0], sensor_uid="shelf")) == short


def test_a_run_that_its_sensor_had_lost_is_not_heard_on() -> None:
    gap = "2026-03-02 08:15 – 2026-03-02 20:00  lost\n2026-03-02 21:00 – 2026-03-02 22:00  lost"
    lost = history(WOUND, heard(gap))
    carried = still_heard(lost, replace(heard(gap).spells[1], end=moment("2026-03-03 09:00")))
    assert carried.current == lost.current
    assert carried.last.since == moment("2026-03-03 09:00")
