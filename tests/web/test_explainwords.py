"""A reserve explained in plain words."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.web.rounds import LONDON, NOW, figures, wound
from tracker.core.explain import Explanation, Without
from tracker.core.heldback import Held
from tracker.core.paths import Track
from tracker.core.peaks import Peak
from tracker.core.spread import Band
from tracker.core.telling import Looks
from tracker.core.timeline import Entry, Service, Sighting
from tracker.explained import explained, explained_soon, runs_used
from tracker.figures import Figures
from tracker.web import explainwords
from tracker.web.explainwords import Account, account, effect, together
from tracker.web.reservewords import reserve_then

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
        (Band(38.5, 40.0, 41.5), "Range 33 % wider"),
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
        (Band(34.4, 36.0, 37.6), "Its runs have moved that, but hardly narrowed it"),
        (Band(15.0, 20.0, 30.0), "Its runs have moved that to about 40 h (38 to 42 h)"),
        (Band(37.5, 40.0, 42.5), "Its runs have narrowed that range by about a fifth"),
        (Band(36.0, 40.0, 44.0), "Its runs have narrowed that range to about half"),
        (Band(34.0, 40.0, 46.0), "Its runs have narrowed that range to about a third"),
        (Band(20.0, 40.0, 60.0), "Its runs have narrowed that range to one part in ten"),
    ],
)
def test_what_was_gained_over_the_start_is_said_in_words(prior: Band, words: str) -> None:
    found = explainwords.started(daily(3), Explanation(prior, (Without((0,), NOW_H),), LOOKS))
    assert found[-1] == f"{words}."


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
    assert row.noted == (
        "Found stopped Mon 05:25; hands at 4:37; when they were last set was not noted, so they can’t be read"
    )
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


def test_only_a_run_that_fits_the_others_badly_is_called_unlike_them() -> None:
    wider = Without((0,), Band(38.5, 40.0, 41.5))
    fits, short = [wound(100), stopped_at(50), wound(49)], [wound(100), stopped_at(80), wound(49)]
    for notes, words in ((fits, "Range 33 % wider"), (short, "Range 33 % wider: it is unlike the others")):
        each = figures("Night ferry", *notes, wound(24), wound(2))
        each = replace(each, estimate=replace(each.estimate, reserve_h=NOW_H))
        first, _ = told(each, Explanation(NOW_H, (wider, Without((1,), NOW_H)), LOOKS)).rows
        assert first.did == words


def test_a_single_run_has_no_others_to_be_unlike() -> None:
    each = figures("Night ferry", wound(100), stopped_at(80), wound(2))
    each = replace(each, estimate=replace(each.estimate, reserve_h=NOW_H))
    (row,) = told(each, Explanation(NOW_H, (Without((0,), Band(38.5, 40.0, 41.5)),), LOOKS)).rows
    assert row.did == "Range 33 % wider"


def test_a_run_that_decides_between_two_lengths_tips_the_answer() -> None:
    each = figures("Night ferry", wound(100), stopped_at(50), wound(2))
    humps = (Peak(0.7, Band(58.0, 59.0, 60.0)), Peak(0.3, Band(70.0, 71.0, 72.0)))
    each = replace(each, estimate=replace(each.estimate, reserve_h=Band(58.0, 59.5, 72.0), one_of_h=humps))
    account_ = told(each, Explanation(NOW_H, (Without((0,), Band(58.0, 70.0, 72.0)),), LOOKS))
    assert account_.rows[0].did == "It tips the answer from about 71 h towards about 59 h"
    assert account_.started[-1] == "Its runs have split that into two ranges, of which one holds."


def test_hands_are_judged_by_the_reserve_at_the_age_of_their_run() -> None:
    each = figures("Night ferry", wound(24 * 400), stopped_at(24 * 398), wound(2))
    track = Track((0.0, 1.0, 1.1), (75.0, 75.0, 64.0), (77.0, 77.0, 65.0), (79.0, 79.0, 66.0))
    then = replace(each, estimate=replace(each.estimate, history=track))
    assert reserve_then(then, runs_used(then)[0]).mid == 77.0


def stopped_at(hours_ago: float) -> Sighting:
    return Sighting(uid=f"x{hours_ago}", at=NOW - timedelta(hours=hours_ago), zone="UTC", seen="stopped")
