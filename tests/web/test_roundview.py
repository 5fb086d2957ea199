"""Which watch belongs to which part of the page."""

from dataclasses import replace

from tests.web.rounds import BERLIN, HOUR, LONDON, NOW, figures, of_watch, seen, wound
from tracker.core.offer import Offer
from tracker.core.timeline import Sighting, Wear, Wind
from tracker.core.watch import Watch
from tracker.figures import Figures
from tracker.turn import Turn
from tracker.web.roundview import parts, unplaced, with_asked

STOPPED = Sighting(uid="x", at=NOW - 5 * HOUR, zone="UTC", seen="stopped")


def rows(*of: Figures) -> list[str]:
    return [each.watch.nickname for each in parts(of, NOW, LONDON).rows]


def test_kept_watches_whose_wind_by_falls_within_a_day_are_rows_soonest_first() -> None:
    assert rows(figures("A", wound(20)), figures("B", wound(30)), figures("C", wound(1))) == ["B", "A"]


def test_where_there_is_a_plan_it_says_which_are_rows_whatever_their_wind_by() -> None:
    turn = Turn(NOW + HOUR, frozenset("C"), frozenset("BC"), NOW + 20 * HOUR)
    told = parts([figures("A", wound(20)), figures("B", wound(30)), figures("C", wound(1))], NOW, LONDON, turn)
    assert [each.watch.nickname for each in told.rows] == ["A", "C"]  # A is in no plan
    assert (told.at, told.later) == (NOW + HOUR, NOW + 20 * HOUR)


def test_a_watch_wound_when_worn_asks_for_nothing() -> None:
    assert rows(figures("A", wound(30), kept=False)) == []


def test_past_the_wind_by_comes_first_then_what_has_stopped_then_what_to_look_at() -> None:
    look = figures("Look", Wind(uid="p", at=NOW - 20 * HOUR, zone="UTC", amount="part"))
    still, late, soon = figures("Still", wound(50), STOPPED), figures("Late", wound(39)), figures("Soon", wound(30))
    assert rows(look, still, soon, late) == ["Late", "Soon", "Still", "Look"]


def test_a_watch_never_wound_here_asks_though_it_was_seen_going() -> None:
    assert rows(figures("New", seen(0))) == ["New"]


def test_a_watch_worn_since_this_morning_asks_for_nothing() -> None:
    watch = Watch(uid="A", nickname="A", habit="keep going", wound_by="crown and rotor")
    assert rows(of_watch(watch, wound(30), Wear(uid="w", at=NOW - HOUR, zone="UTC", act="put on"))) == []


def test_customers_watches_are_no_matter_of_rounds() -> None:
    told = parts([of_watch(Watch(uid="J", nickname="J", habit="keep going", job_number="7"), STOPPED)], NOW, LONDON)
    assert (told.rows, told.stopped) == ([], 0)


def test_what_comes_later_is_the_next_wind_by_among_the_kept() -> None:
    later, worn = figures("Later", wound(5)), figures("Worn", wound(8), kept=False)
    assert parts([figures("A", wound(30)), later, worn], NOW, LONDON).later == later.standing.wind_by


def test_going_and_right_means_hands_that_were_set_and_ran_on() -> None:
    ran_on = figures("A", wound(40, "stopped", "set now"), wound(10, "going", "left"))
    never_set = figures("B", wound(40), wound(10, "going", "left"))
    stopped_since = figures("C", wound(80, "stopped", "set now"), wound(10, "stopped"))
    told = parts([ran_on, never_set, stopped_since], NOW, LONDON)
    assert [each.watch.nickname for each in told.right] == ["A"]
    assert [each.watch.nickname for each in told.unset] == ["B", "C"]


def test_hands_set_before_the_clocks_changed_are_not_called_right() -> None:
    kept = figures("A", wound(10, "stopped", "set now"))
    assert parts([kept], NOW, LONDON).right == [kept]
    assert parts([kept], NOW, BERLIN).right == []


def test_a_watch_that_shows_the_date_is_right_only_with_its_date_set() -> None:
    watch = Watch(uid="A", nickname="A", date_window=True)
    hands = wound(10, "stopped", "set now")
    assert not parts([of_watch(watch, hands)], NOW, LONDON).right
    assert parts([of_watch(watch, replace(hands, date_set=True))], NOW, LONDON).right


def test_the_rest_is_told_apart_and_nothing_is_left_out() -> None:
    rest = [
        figures("Doubt", wound(39), kept=False),
        figures("Still", wound(50), STOPPED, kept=False),
        figures("Long ago", wound(900), kept=False),
        figures("Unknown", kept=False),
    ]
    told = parts(rest, NOW, LONDON)
    assert [each.watch.nickname for each in told.doubtful] == ["Doubt"]
    assert (told.stopped, told.unknown, told.kept) == (2, 1, False)


def test_only_what_is_as_good_as_known_goes_into_one_button() -> None:
    early, late = figures("Early", wound(36)), figures("Late", wound(39))
    assert [each.watch.nickname for each in parts([early, late], NOW, LONDON).sitting] == ["Early"]


def test_all_that_have_surely_stopped_go_into_one_button() -> None:
    stopped, doubtful = [figures(name, wound(44)) for name in "AB"], figures("C", wound(41))
    assert parts(stopped, NOW, LONDON).sitting == stopped
    assert parts([*stopped, doubtful], NOW, LONDON).sitting == []


def test_going_for_nobody_knows_how_long_is_not_going_and_right() -> None:
    part = Wind(uid="p", at=NOW - HOUR, zone="UTC", amount="part", found="going", hands="set now")
    told = parts([figures("A", part, kept=False)], NOW, LONDON)
    assert ([each.watch.nickname for each in told.unmeasured], told.right, told.unset) == (["A"], [], [])


def test_a_watch_with_a_problem_has_a_row_whatever_page_it_came_from() -> None:
    early, other = figures("Early", wound(39)), figures("Other", wound(1))
    found = with_asked([early], [early, other], {"shown-Other": "No.", "shown-gone": "No.", "clock": "No."})
    assert [each.watch.nickname for each in found] == ["Other", "Early"]


def test_a_sentence_without_a_field_is_still_told() -> None:
    row = figures("Early", wound(39))
    assert unplaced({"shown-Early": "a", "clock": "b", "": "c", "shown-gone": "d"}, [row]) == ["c", "d"]


def test_an_archived_watch_is_not_kept() -> None:
    away = replace(figures("A").watch, archived_at=NOW)
    assert parts([of_watch(away, wound(30))], NOW, LONDON).rows == []


def test_a_kept_watch_wound_in_part_asks_for_a_look_at_once_and_is_not_called_right() -> None:
    part = figures("Part", Wind(uid="p", at=NOW - HOUR, zone="UTC", amount="part", found="going"))
    found = parts([part], NOW, LONDON)
    assert found.to_look_at == [part]
    assert part not in found.right + found.unset


def offered(nickname: str, hours_ago: float, in_h: float) -> Figures:
    """A watch wound so long ago that is to be looked at in so many hours."""
    return replace(
        figures(nickname, wound(hours_ago)), offer=Offer(NOW + in_h * HOUR, hours_ago + in_h, 0.5, hands=True)
    )


def test_a_watch_left_to_run_for_a_look_is_not_to_be_wound_before() -> None:
    found = parts([offered("A", 39, 5), figures("B", wound(30))], NOW, LONDON)
    assert [each.watch.nickname for each in found.rows] == ["B"]
    assert [each.watch.nickname for each in found.left_to_run] == ["A"]
    assert found.doubtful == []
    assert found.later == NOW + 5 * HOUR


def test_a_look_that_is_due_is_a_row_to_look_at() -> None:
    found = parts([offered("A", 30, -1), figures("B", wound(30))], NOW, LONDON)
    assert [each.watch.nickname for each in found.to_look_at] == ["A"]
    assert [each.watch.nickname for each in found.to_wind] == ["B"]
    assert found.left_to_run == []
