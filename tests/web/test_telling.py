"""How is this watch? In a sentence."""

from dataclasses import replace

import pytest

from tests.web.rounds import BERLIN, HOUR, LONDON, NOW, figures, of_watch, seen, wound
from tracker.core.offer import Offer
from tracker.core.timeline import Entry, OnWinder, Sighting, Wear, Wind
from tracker.core.watch import Watch
from tracker.web import telling


def part(amount: str) -> Wind:
    return Wind(uid="p", at=NOW - HOUR, zone="UTC", amount=amount)  # type: ignore[arg-type]  # one of its words


@pytest.mark.parametrize(
    ("entries", "sentence"),
    [
        ([wound(2)], "Going, 35 to 41 h left. Wind by tomorrow 19:15."),
        ([wound(20)], "Going, probably, 17 to 23 h left. Wind by tomorrow 01:15."),
        ([wound(36), seen(1)], "Going, "),
        ([wound(40)], "May have stopped: its wind-by was today 05:15. It still goes with a chance of 50 %."),
        ([wound(400)], "Stopped: it was wound too long ago to be going."),
        ([part("part")], "Going, probably: look at it; it was wound in part only."),
        ([part("unsure")], "Going, probably: look at it; how far it was wound is not sure."),
        ([], "Not known: look at it; when it was last wound is not noted."),
    ],
)
def test_the_first_line_says_what_is_known_and_no_more(entries: list[Entry], sentence: str) -> None:
    assert telling.first_line(figures("Night ferry", *entries), NOW, BERLIN).startswith(sentence)


def test_lifted_or_nudged_after_a_stop_nobody_knows_how_far_it_is_wound_and_nothing_is_asked() -> None:
    stopped = Sighting(uid="s", at=NOW - 2 * HOUR, zone="UTC", seen="stopped")
    lifted = figures("Night ferry", wound(50), stopped, seen(1), kept=False)
    assert (lifted.held, lifted.standing.wind_by, lifted.standing.left_h) == (None, None, None)
    assert telling.first_line(lifted, NOW, BERLIN) == (
        "Going, probably; nobody knows for how long: it had stopped, and goes again without a winding that was noted."
    )


def test_a_run_whose_chronograph_ran_may_stop_sooner() -> None:
    looks = [replace(seen(1), side_spring_used=used) for used in (False, True)]
    said = [telling.shortened(figures("Night ferry", wound(2), look)) for look in looks]
    assert said == ["", "The chronograph ran or the alarm rang since it was wound: it may stop sooner than that."]
    assert telling.shortened(figures("Night ferry")) == ""


def test_only_a_watch_that_is_kept_going_asks_to_be_looked_at() -> None:
    assert telling.state(figures("Night ferry", part("part"))) == "going, probably: look at it"
    assert telling.state(figures("Night ferry", part("part"), kept=False)) == "going, probably"
    assert telling.state(figures("Night ferry", kept=False)) == "not known"
    assert telling.first_line(figures("Night ferry", part("part"), kept=False), NOW, BERLIN) == (
        "Going, probably; nobody knows for how long: it was wound in part only."
    )


def test_wear_that_winds_is_named_as_the_reason() -> None:
    automatic = Watch(uid="a", nickname="a", wound_by="crown and rotor", habit="keep going")
    worn = of_watch(automatic, Wear(uid="w", at=NOW - HOUR, zone="UTC", act="put on"))
    assert telling.first_line(worn, NOW, BERLIN) == "Going, probably; how far wearing has wound it is not known."


def test_worn_after_a_full_wind_it_says_how_long_it_would_go_on() -> None:
    automatic = Watch(uid="a", nickname="a", wound_by="crown and rotor", habit="keep going")
    worn = of_watch(automatic, wound(2), Wear(uid="w", at=NOW - HOUR, zone="UTC", act="put on"))
    assert telling.first_line(worn, NOW, BERLIN) == "Going, on the wrist. Laid down now it would go on for 37 to 44 h."
    assert telling.wind_by(worn) is None


def test_on_a_winder_it_is_kept_going_or_nobody_knows() -> None:
    automatic = Watch(uid="a", nickname="a", wound_by="crown and rotor", habit="keep going")
    on = OnWinder(uid="w", at=NOW - HOUR, zone="UTC", act="on", turns_a_day=1000.0)
    assert (
        telling.first_line(of_watch(automatic, wound(2), on), NOW, BERLIN) == "Going, on a winder that keeps it going."
    )
    unknown = of_watch(automatic, wound(2), replace(on, turns_a_day=None))
    assert (
        telling.first_line(unknown, NOW, BERLIN)
        == "Going, probably; nobody knows whether its winder makes turns enough."
    )


def test_a_stopped_watch_has_no_hours_left_and_no_wind_by() -> None:
    stopped = figures("Night ferry", wound(400))
    assert (telling.left(stopped), telling.wind_by(stopped)) == ("", None)


def test_the_likelier_state_decides_which_button_comes_first() -> None:
    assert [telling.likely_stopped(figures("Night ferry", wound(hours))) for hours in (2, 38, 42, 400)] == [
        False,
        False,
        True,
        True,
    ]


@pytest.mark.parametrize(
    ("hours_ago", "in_h", "words"),
    [
        (2, 40, "Going, 35 to 41 h left. Do not wind it before tomorrow 23:25; look at it then."),
        (39, 5, "May have stopped. Do not wind it before today 12:25; look at it then."),
        (39, -1, "Look at it now, before it is wound: its look was due today 06:25."),
    ],
)
def test_a_look_that_is_offered_speaks_instead_of_the_wind_by(hours_ago: float, in_h: float, words: str) -> None:
    offer = Offer(NOW + in_h * HOUR, hours_ago + in_h, 0.5, hands=True)
    each = replace(figures("Night ferry", wound(hours_ago)), offer=offer)
    assert telling.first_line(each, NOW, LONDON) == words


def test_a_watch_left_to_run_has_no_wind_by_of_its_own() -> None:
    each = replace(figures("Night ferry", wound(2)), offer=Offer(NOW + 40 * HOUR, 42.0, 0.5, hands=True))
    assert telling.state(each) == "going: left to run for a look"
    assert telling.wind_by(each) is None


@pytest.mark.parametrize(("hours", "first"), [(38, True), (39.4, None), (40.6, None), (42, False)])
def test_neither_state_is_put_first_where_the_chances_are_near_even(hours: float, first: bool | None) -> None:  # noqa: FBT001 -- the case
    assert telling.going_first(figures("Night ferry", wound(hours))) is first


def test_seen_going_past_its_wind_by_it_is_going_and_to_be_wound_now() -> None:
    loose = Wind(uid="w", at=NOW - 36 * HOUR, zone="UTC", within_min=300)
    each = figures("Night ferry", loose, seen(0.03))
    assert each.standing.wind_by is not None
    assert each.standing.wind_by <= NOW
    assert telling.first_line(each, NOW, BERLIN) == "Going. Wind it now: its wind-by was today 08:23."
