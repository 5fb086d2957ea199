"""What the register says of a watch, in words, and what to beware of."""

from dataclasses import replace
from typing import get_args

from tracker.core.watch import Habit, Indicator, Reach, Stake, Watch, WinderWay, WoundBy
from tracker.web import registerwords


def test_every_word_of_the_register_has_its_label() -> None:
    pairs = (
        (WoundBy, registerwords.WOUND_BY),
        (Habit, registerwords.HABIT),
        (Stake, registerwords.STAKE),
        (Reach, registerwords.REACH),
        (Indicator, registerwords.INDICATOR),
        (WinderWay, registerwords.WINDER_WAY),
    )
    for choices, words in pairs:
        assert set(get_args(choices)) == set(words)


def test_value_and_serial_are_not_shown_in_passing() -> None:
    told = registerwords.register(Watch(uid="a", nickname="a", serial="17-B", value="much", calibre="K-12"))
    assert ("Calibre", "K-12") in told
    assert not {"17-B", "much"} & {value for _, value in told}


def test_a_habit_names_its_days() -> None:
    sundays = Watch(uid="a", nickname="a", habit="on weekdays", habit_weekdays=("Sun",))
    assert ("Habit", "on weekdays: Sun") in registerwords.register(sundays)
    every = Watch(uid="a", nickname="a", habit="every n days", habit_every_days=7)
    assert ("Habit", "every 7 days") in registerwords.register(every)


def test_what_it_needs_on_a_winder_is_told_as_far_as_it_is_known() -> None:
    turns = Watch(uid="a", nickname="a", wound_by="rotor only", winder_turns_a_day=700.0)
    assert ("On a winder it needs", "700 turns a day") in registerwords.register(turns)
    both = replace(turns, winder_way="clockwise", winder_pause_h=12.0, wear_fills_h=9.5)
    assert registerwords.register(both)[-3:] == [
        ("On a winder it needs", "700 turns a day, only clockwise counts"),
        ("Its winder rests at most", "12 h"),
        ("Filled by wear of", "9.5 h"),
    ]


def test_what_a_winder_needs_to_give_is_not_told_of_a_watch_without_a_rotor() -> None:
    told = registerwords.register(Watch(uid="a", nickname="a", winder_turns_a_day=700.0, wear_fills_h=9.5))
    assert not {"On a winder it needs", "Filled by wear of"} & {label for label, _ in told}
