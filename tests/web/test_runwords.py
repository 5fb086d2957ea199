"""Run-downs in words."""

import pytest

from tests.web.rounds import BERLIN, NOW, figures, seen, wound
from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.logwalk import EndedBy
from tracker.core.rundown import Reason, RunDown
from tracker.core.timeline import FlawWord
from tracker.web import runwords


@pytest.mark.parametrize(
    ("evidence", "words"),
    [
        (at_least(26.2), "at least 26 h"),
        (at_least(100), "at least 100 h"),
        (at_most(38), "at most 38 h"),
        (between(26, 38), "between 26 and 38 h"),
        (between(60, 80), "between 60 and 80 h"),
        (between(41.18, 41.22), "41.2 h"),
        (exact(41.234), "41.2 h"),
        (Evidence("one_of", ((29.0, 29.4), (41.0, 41.4))), "41.2 h or 29.2 h by the hands"),
        (Evidence("one_of", ((41.0, 41.4),)), "41.2 h by the hands"),
    ],
)
def test_evidence_keeps_its_censoring(evidence: Evidence, words: str) -> None:
    assert runwords.hours(evidence, 40.0) == words


def test_of_many_moments_the_likeliest_are_said_and_the_rest_counted() -> None:
    moments = Evidence("one_of", tuple((9.4 + 12 * turn, 9.6 + 12 * turn) for turn in range(5)))
    assert runwords.hours(moments, 34.0) == "33.5 h or 45.5 h or three others by the hands"


def run() -> RunDown:
    return figures("Night ferry", wound(50), seen(30), wound(20)).history.runs[0]


def test_a_run_tells_what_it_tells_and_how_it_ended() -> None:
    assert runwords.told(run(), 40.0) == "at least 30 h"
    assert runwords.begun(run(), NOW, BERLIN) == "Mon 06:25"
    assert runwords.ended(run(), NOW, BERLIN) == "wound yesterday 12:25 while it was going"


@pytest.mark.parametrize(
    ("choices", "words"),
    [(Reason, runwords.LEFT_OUT), (EndedBy, runwords.ENDED), (FlawWord, runwords.FLAW)],
)
def test_every_word_of_the_core_has_its_sentence(choices: object, words: dict[str, str]) -> None:
    assert set(choices.__args__) == set(words)  # type: ignore[attr-defined]  # a Literal


def test_the_newest_runs_come_first_and_the_rest_on_request() -> None:
    runs = [run()] * 20
    assert len(runwords.shortened(runs, everything=False).rows) == runwords.SHOWN_AT_FIRST
    assert len(runwords.shortened(runs, everything=True).rows) == 20
    assert runwords.shortened(runs, everything=False).count == 20


def test_a_flaw_is_named_by_its_entry() -> None:
    said = runwords.flaws([("a", "hands fit no moment"), ("b", "hands read differently")], {"a": "Mon 07:30"})
    assert said[0].startswith("Mon 07:30: the hands fit no moment")
    assert said[1].startswith("An entry: the hands read differently")


def test_an_eight_day_watch_is_told_in_days_throughout() -> None:
    told = [runwords.hours(each, 190.0) for each in (at_least(40.0), at_most(200.0), between(60.0, 80.0))]
    assert told == ["at least 1.7 days", "at most 8.3 days", "between 2.5 and 3.3 days"]
