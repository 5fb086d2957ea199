import re
from dataclasses import replace
from datetime import timedelta

import pytest

from tests.test_staying import LEAVE, SETTINGS, gone, on_winder, rotor, visits, watch
from tests.web.rounds import HOUR, LONDON, NOW
from tracker.core.offer import Offer
from tracker.core.watch import Watch
from tracker.staying import absence
from tracker.web.awayview import Shown, how_far, shown


def told(*figures: object, days: float = 4.0) -> Shown:
    return shown(gone(*figures, days=days), NOW, LONDON)  # type: ignore[arg-type]  # figures by another name


def test_the_first_line_tells_how_many_stop() -> None:
    assert told(watch("a", 3.0)).head == "Leave Fri 10:25, back Tue 10:25: one will stop."
    assert told(watch("a", 3.0, stake="date")).head.endswith("one will stop, one of them with a date or calendar.")
    assert told(watch("a", 3.0, median_h=400.0)).head.endswith("nothing stops that goes now.")


def test_one_that_may_go_on_is_not_said_to_stop() -> None:
    assert told(watch("a", 3.0, median_h=38.0), days=1.3).head.endswith(": one may stop.")
    both = told(watch("a", 3.0, median_h=38.0), watch("b", 3.0, median_h=20.0), days=1.3)
    assert both.head.endswith(": one will stop and one may.")


def test_what_to_wind_before_leaving_is_told_with_why() -> None:
    found = told(watch("a", 3.0), days=1)
    assert found.last_round == "the last round, Fri 07:30"
    (line,) = found.to_wind
    assert line.said[0].startswith("then safe until Sat ")


def test_a_look_that_falls_into_the_absence_is_said_to_be_given_up() -> None:
    """The Round page asks to leave such a watch alone until its look."""
    for at, given_up in ((LEAVE + HOUR, True), (LEAVE - HOUR, False)):
        each = replace(watch("a", 3.0), offer=Offer(at, 50.0, 0.5, hands=False))
        (line,) = told(each, days=1).to_wind
        assert ("the look it was left to run for, Fri 11:25, is given up" in line.said) is given_up


def test_they_are_told_by_how_they_will_be_found() -> None:
    found = told(
        watch("long", 3.0, median_h=400.0),
        watch("even", 3.0, median_h=38.0),
        watch("short", 3.0, median_h=20.0),
        days=1.3,
    ).found
    assert [(group.head, [line.nickname for line in group.lines]) for group in found] == [
        ("Stopped when you are back: one", ["short"]),
        ("Going or stopped when you are back: one", ["even"]),
        ("Going when you are back: one", ["long"]),
    ]
    short, even, long = (group.lines[0].said for group in found)
    assert re.fullmatch(r"even if wound before you leave: stops hardly later than Sat 0\d:\d\d", short[0])
    assert re.fullmatch(r"going with a chance of \d+ %", even[0])
    assert [piece.partition(" S")[0] for piece in even[1:]] == ["safe until", "stops hardly later than"]
    assert re.fullmatch(r"safe until \w+ 2026-12-1\d \d\d:\d\d", long[0])


def test_one_that_is_wound_when_worn_is_told_by_the_run_it_is_on() -> None:
    (group,) = told(watch("a", 3.0, kept=False)).found
    assert re.fullmatch(r"stops between tomorrow \d\d:\d\d and tomorrow \d\d:\d\d", group.lines[0].said[0])


def steps(*figures: object, days: float = 4.0) -> list[str]:
    (group,) = told(*figures, days=days).found
    (line,) = group.lines
    return list(line.said)


def test_the_steps_to_set_are_told_with_their_caution() -> None:
    assert "if it stopped: date 3 or 4 on" in steps(watch("a", 3.0, stake="date"))
    assert (
        told(watch("a", 3.0, stake="date"))
        .setting[0]
        .startswith("Set no date while the hands stand between 9 pm and 3 am")
    )
    assert "if it stopped: calendar and moon 2 or 3 on; check month and leap year" in steps(
        watch("a", 3.0, stake="calendar")
    )
    assert "if it goes: date 1 on, for the short month" in steps(watch("a", 3.0, median_h=400.0, stake="date"))


def test_one_that_stops_on_the_day_of_the_return_need_not_be_set_on() -> None:
    assert "if it stopped: its date is still right" in steps(watch("a", 3.0, median_h=38.0, stake="date"), days=1.3)
    assert "if it stopped: its calendar is still right" in steps(
        watch("a", 3.0, median_h=38.0, stake="calendar"), days=1.3
    )
    assert told(watch("a", 3.0, median_h=38.0, stake="date"), days=1.3).setting == []
    late = steps(watch("a", 3.0, median_h=38.0, stake="date"), days=1.7)
    assert "if it stopped: date right or 1 on" in late


def test_watches_of_which_nothing_is_known_are_told_apart() -> None:
    (line,) = told(watch("a", None, kept=False)).left
    assert line.said == ["how far it is wound is not known; look at it before you leave"]


def test_the_sheet_names_each_visit_and_how_far_to_wind() -> None:
    away = absence(
        [watch("a", 3.0)], SETTINGS, NOW, leave=LEAVE, back=LEAVE + timedelta(days=4), visits=visits(1, 2, 3)
    )
    sheet = shown(away, NOW, LONDON).visits
    assert [line.nickname for visit in sheet for line in visit.lines] == ["a"] * len(sheet)
    assert sheet[0].lines[0].said == ["Wind it until you feel resistance, no further."]


@pytest.mark.parametrize(
    ("own", "how"),
    [
        (
            Watch(uid="w", nickname="w", crown_turns_to_full=24),
            "Wind it until you feel resistance, no further: about 24 turns if it had stopped.",
        ),
        (Watch(uid="w", nickname="w", wound_by="weights"), "Raise each weight gently to the top."),
        (
            Watch(uid="w", nickname="w", wound_by="crown and rotor", crown_turns_to_full=45),
            "Give the crown 45 turns and stop; you will feel no resistance.",
        ),
        (
            Watch(uid="w", nickname="w", wound_by="crown and rotor"),
            "Give the crown 30 turns and stop; you will feel no resistance.",
        ),
    ],
)
def test_whoever_winds_is_told_how_far_and_what_is_felt(own: Watch, how: str) -> None:
    assert how_far(own) == how


def test_paper_bears_the_day_in_full() -> None:
    away = absence([watch("a", 3.0)], SETTINGS, NOW, leave=LEAVE, back=LEAVE + timedelta(days=4), visits=visits(1))
    assert [visit.date for visit in shown(away, NOW, LONDON).visits] == ["Sat 2026-11-28, 10:25"]


def test_a_winder_is_named_where_it_keeps_a_watch_going_or_would() -> None:
    (kept,) = told(rotor(700.0, on_winder(1000.0))).found
    assert kept.lines[0].said == ["its winder keeps it going: look that it turns before you leave"]
    (stops,) = told(rotor(700.0)).found
    assert "a winder of 700 turns a day would keep it going; try it there a week before" in stops.lines[0].said
