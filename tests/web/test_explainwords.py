"""A reserve explained in plain words."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.web.rounds import LONDON, NOW, figures, wound
from tracker.core.explain import Explanation, Without
from tracker.core.heldback import Held
from tracker.core.spread import Band
from tracker.core.telling import Looks
from tracker.core.timeline import Entry, Service, Sighting
from tracker.explained import explained, explained_soon, runs_used
from tracker.figures import Figures
from tracker.web import explainwords
from tracker.web.explainwords import Account, account, effect, together

NOW_H = Band(38.0, 40.0, 42.0)
LOOKS = Looks(20.0, 50.0, (0.9, 0.5), (0.9, 0.8), 0.3)


def daily(count: int, *more: Entry) -> Figures:
    """Wound every morning so many times, always going, as it stands at NOW."""
    each = figures("Night ferry", *(wound(24.0 * day + 2) for day in reversed(range(count))), *more)
    counted = {"at_least": count - 1}
    return replace(each, estimate=replace(each.estimate, evidence=counted, reserve_h=NOW_H))


def told(each: Figures, found: Explanation | None = None, **wanted: bool) -> Account:
    """The account of its page."""
    notes = {run.end_uid: {"shown": "4:37"} for run in runs_used(each) if run.ended_by == "found stopped"}
    return account(each, found or explained(each, LONDON), notes, NOW, LONDON, **wanted)


@pytest.mark.parametrize(
    ("without", "words"),
    [
        (Band(38.6, 40.6, 42.65), "0.6 h shorter"),
        (Band(34.5, 39.5, 44.5), "0.5 h longer, range 60 % narrower"),
        (Band(38.5, 40.0, 41.5), "Range 33 % wider: it is unlike the others"),
        (Band(38.0, 40.02, 42.0), "Next to nothing"),
        (Band(8.0, 28.0, 42.0), "12 h longer, range 92 % narrower"),
    ],
)
def test_what_a_run_did_is_how_the_answer_would_differ_without_it(without: Band, words: str) -> None:
    assert effect(NOW_H, without) == words


@pytest.mark.parametrize(
    ("prior", "words"),
    [
        (Band(38.0, 40.0, 42.2), "Its runs have hardly changed that"),
        (Band(30.0, 32.0, 33.5), "Its runs have moved that, but hardly narrowed it"),
        (Band(37.5, 40.0, 42.5), "Its runs have narrowed that range by about a fifth"),
        (Band(36.0, 40.0, 44.0), "Its runs have narrowed that range to about half"),
        (Band(34.0, 40.0, 46.0), "Its runs have narrowed that range to about a third"),
        (Band(20.0, 40.0, 60.0), "Its runs have narrowed that range to one part in ten"),
    ],
)
def test_what_was_gained_over_the_start_is_said_in_words(prior: Band, words: str) -> None:
    found = explainwords.started(daily(3), Explanation(prior, (Without((0,), NOW_H),), LOOKS))
    assert found[-1] == f"{words} (0.0 bits of information)."


def test_without_runs_the_start_is_all_there_is() -> None:
    each = figures("Night ferry")
    (start,) = explainwords.started(each, explained(each, LONDON))
    assert start.startswith("It starts from a day or two, for no reserve is stated.")


def test_a_maker_is_not_named_where_none_stated_anything() -> None:
    each = figures("Night ferry")
    stated = replace(each, watch=replace(each.watch, stated_reserve_h=42.0))
    found = Explanation(NOW_H, (), LOOKS)
    assert "Makers’ figures are nominal" in explainwords.started(stated, found)[0]
    assert "No more than its kind is known" in explainwords.started(each, found)[0]


def test_each_run_is_told_with_what_was_noted() -> None:
    stop = Sighting(uid="x", at=NOW - timedelta(hours=50), zone="UTC", seen="stopped")
    (row,) = told(figures("Night ferry", wound(100), stop, wound(49))).rows
    assert row.when == "Sat 03:25"
    assert row.tells == "at most 50 h"
    assert row.noted == "Found stopped Mon 05:25; hands at 4:37"
    assert "narrower" in row.did


def test_hands_read_before_the_run_began_are_not_told_of_it() -> None:
    each = figures("Night ferry", wound(100), wound(49))
    notes = {run.wind_uid: {"shown": "9:15"} for run in runs_used(each)}
    (row,) = account(each, explained(each, LONDON), notes, NOW, LONDON).rows
    assert "9:15" not in row.noted


def test_an_answer_without_evidence_says_so() -> None:
    said = explainwords.answer(figures("Night ferry"), NOW, LONDON)
    assert said == "About 40 h (36 to 44 h) from full wind to stop: nothing is seen of it yet."


def test_many_runs_are_told_by_month_and_can_be_seen_one_by_one() -> None:
    november, october = sorted(told(daily(40)).rows, key=lambda row: len(row.members), reverse=True)
    assert november.when == "Nov 2026"
    assert november.noted == "24 runs, each wound while it was going"
    assert november.tells == "each at least 24.0 h"
    assert november.members[0] == ("yesterday 05:25", "at least 24 h")
    assert october.when == "Oct 2026"


def test_rows_come_most_telling_first_or_newest_first() -> None:
    each = daily(3)
    found = Explanation(NOW_H, (Without((0,), Band(30.0, 36.0, 42.0)), Without((1,), NOW_H)), LOOKS)
    assert [row.when for row in told(each, found).rows] == ["Mon 05:25", "yesterday 05:25"]
    assert [row.when for row in told(each, found, by_date=True).rows] == ["yesterday 05:25", "Mon 05:25"]


def test_rows_are_cut_short_unless_all_are_asked_for() -> None:
    each = daily(20)
    assert (len(told(each).rows), told(each).count) == (explainwords.SHOWN_AT_FIRST, 19)
    assert len(told(each, everything=True).rows) == 19


def test_rows_that_do_nothing_by_themselves_are_said_to_count_together() -> None:
    nothing = Without((0,), NOW_H)
    assert together(NOW_H, [nothing, nothing]).startswith("Most of these do little by themselves")
    assert together(NOW_H, [nothing]) == ""
    assert together(NOW_H, [nothing, Without((1,), Band(30.0, 40.0, 50.0))]) == ""


def test_what_is_left_out_has_its_reason_and_its_days() -> None:
    before = Service(uid="s", at=NOW - timedelta(days=20), zone="UTC")
    each = figures("Night ferry", wound(24 * 30), before, *(wound(24 * day, "not noticed") for day in range(9, 0, -1)))
    assert told(each).left_out == [
        "Eight runs: it was not seen going again (wound Mon, Sun, Sat, Fri, four others).",
        "One run before its last service: a service begins anew.",
    ]


def test_the_run_held_back_is_told_and_not_weighed() -> None:
    each = daily(4)

    newest = runs_used(each)[-1].wind_uid
    held = replace(each, held=Held(run_uid=newest, entry_uid="x", hours=66.0, seen_going_h=0.0))
    assert told(held).count == 2
    assert told(held).left_out == [
        "One is held back, wound yesterday: 66 h is longer than it is known to go; often a winding was not noted."
    ]


def test_those_who_will_not_wait_are_served_later() -> None:
    each = daily(7)
    assert explained_soon(each, LONDON, 60.0) == explained(each, LONDON)
    assert explained_soon(each, LONDON, 0.0) == explained(each, LONDON)
