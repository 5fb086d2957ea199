from datetime import timedelta

import pytest

from tests.test_staying import LEAVE, SETTINGS, gone, visits, watch
from tests.web.rounds import LONDON, NOW
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
    assert "one will stop or may" in told(watch("a", 3.0, median_h=38.0), days=1.3).head


def test_what_to_wind_before_leaving_is_told_with_why() -> None:
    found = told(watch("a", 3.0), days=1)
    assert found.last_round == "the last round, Fri 07:30"
    (line,) = found.to_wind
    assert line.said[0].startswith("then safe until Sat ")


def test_a_kept_watch_that_stops_all_the_same_is_told_by_when() -> None:
    (line,) = told(watch("a", 3.0)).found
    assert line.said[0].startswith("stops before you are back, wound or not: by Sun ")


def test_the_steps_to_set_are_told_with_their_caution() -> None:
    dated = told(watch("a", 3.0, stake="date"))
    assert "if it stopped: date 3 or 4 on" in dated.found[0].said
    assert dated.setting[0].startswith("Set no date while the hands stand between 9 pm and 3 am")
    calendar = told(watch("a", 3.0, stake="calendar"))
    assert "if it stopped: calendar and moon 2 or 3 days on; check month and leap year" in calendar.found[0].said
    assert (
        "if it goes: date 1 on, for the short month"
        in told(watch("a", 3.0, median_h=400.0, stake="date")).found[0].said
    )


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
        (Watch(uid="w", nickname="w", wound_by="crown and rotor"), ""),
    ],
)
def test_an_automatic_is_never_said_to_give_resistance(own: Watch, how: str) -> None:
    assert how_far(own) == how
