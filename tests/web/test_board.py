"""Which watches are drawn, in what order, in what form, and the same in words."""

from dataclasses import replace
from datetime import datetime

import pytest

from tests.web.rounds import BERLIN, HOUR, NOW, figures, of_watch, seen, wound
from tracker.core.offer import Offer
from tracker.core.timeline import Sighting, Wind
from tracker.core.watch import Watch
from tracker.figures import Figures
from tracker.web.board import MOST_ROWS, board, tomorrow

PART = Wind(uid="p", at=wound(9).at, zone="UTC", amount="part", found="going")
GOING = figures("Night ferry", wound(10))
PAST = figures("Grey dial", wound(39))
LOOK = figures("Regatta", PART)
BLANK = figures("Lent", kept=True)
STILL = figures("Sunday best", Sighting(uid="x", at=wound(90).at, zone="UTC", seen="stopped"))
WORN = figures("Winter coat", wound(2), kept=False)


def names(*drawn: Figures) -> list[str]:
    return [row.nickname for row in board(drawn, [], NOW, BERLIN).rows]


def test_kept_watches_come_first_by_their_wind_by_and_unknown_ones_after() -> None:
    assert names(WORN, LOOK, GOING, PAST) == ["Grey dial", "Night ferry", "Regatta", "Winter coat"]


def test_stopped_watches_are_counted_not_drawn() -> None:
    drawn = board([GOING, STILL], [], NOW, BERLIN)
    assert [row.nickname for row in drawn.rows] == ["Night ferry"]
    assert drawn.still == 1


def test_a_customer_s_watch_is_neither() -> None:
    drawn = board([of_watch(Watch(uid="c", nickname="Job", job_number="7"), wound(3))], [], NOW, BERLIN)
    assert (drawn.rows, drawn.still) == ([], 0)


@pytest.mark.parametrize(("each", "form"), [(GOING, "filled"), (PAST, "broken"), (LOOK, "hollow"), (BLANK, "hollow")])
def test_each_state_has_a_form_of_its_own(each: Figures, form: str) -> None:
    assert board([each], [], NOW, BERLIN).rows[0].form == form


def test_of_an_unknown_watch_no_chance_is_told() -> None:
    assert [row.tomorrow for row in board([LOOK, BLANK], [], NOW, BERLIN).rows] == ["", ""]


def test_the_words_beside_the_drawing_agree_with_it() -> None:
    row = board([figures("Night ferry", wound(16.0))], [], NOW, BERLIN).rows[0]
    assert (row.state, row.by) == ("going, probably", "tomorrow 05:15")
    assert row.tomorrow == "68 %"


def test_what_was_seen_going_lately_stays_full_up_to_then() -> None:
    unseen, looked = (board([each], [], NOW, BERLIN).rows[0] for each in (PAST, figures("A", wound(39), seen(0.5))))
    assert unseen.form == "broken"
    assert looked.taper.past.count("L") < unseen.taper.past.count("L")


def test_a_wind_by_beyond_the_edge_is_written_there() -> None:
    far = board([figures("Long passage", wound(5), median_h=190.0)], [], NOW, BERLIN).rows[0]
    assert far.taper.notch is None
    assert far.beyond.startswith("wind by ")


def test_a_watch_left_to_run_for_a_look_has_no_wind_by_beside_it() -> None:
    offered = replace(GOING, offer=Offer(NOW + 30 * HOUR, 40.0, 0.5, hands=True))
    row = board([offered], [], NOW, BERLIN).rows[0]
    assert (row.by, row.taper.notch, row.beyond) == ("", None, "")
    assert row.instead == "not before tomorrow 14:25"


def test_how_long_a_watch_goes_that_was_wound_in_part_is_not_drawn() -> None:
    row = board([LOOK], [], NOW, BERLIN).rows[0]
    assert (row.taper.ahead, row.taper.hair, row.tomorrow) == ("", None, "")
    assert (row.state, row.instead) == ("going, probably: look at it", "not known")


def test_three_hundred_watches_are_capped_and_the_rest_counted() -> None:
    drawn = board([figures(f"Watch {n}", wound(10)) for n in range(300)], [], NOW, BERLIN)
    assert (len(drawn.rows), drawn.beyond) == (MOST_ROWS, 300 - MOST_ROWS)


def test_tomorrow_morning_is_one_on_the_owner_s_clock() -> None:
    assert tomorrow(datetime(2026, 10, 24, 12, tzinfo=NOW.tzinfo), BERLIN).isoformat() == "2026-10-25T06:30:00+00:00"
