from dataclasses import replace
from datetime import timedelta

import pytest

from tests.core.test_nextdue import at, found
from tests.web.rounds import LONDON
from tracker import duewords
from tracker.core.decline import Finding
from tracker.core.servicerule import NO_RULE, Rule
from tracker.core.watch import Watch
from tracker.duewords import About

NOW = at(0)
WATCH = Watch(uid="w", nickname="w", least_reserve_h=36)
YEAR = 365.25


@pytest.mark.parametrize(
    ("each", "said", "short"),
    [
        (found(due=3 * YEAR), "By your rule of 5 years its next service is due in Nov 2029.", "Nov 2029, by age"),
        (
            found(due=-100),
            "By your rule of 5 years its service has been due since Aug 2026; that is its age, not its reserve.",
            "Aug 2026, by age",
        ),
        (
            found(due=400, rule=Rule(3.5, None, own=True)),
            "By your rule for it, 3.5 years, its next service is due in Dec 2027.",
            "Dec 2027, by age",
        ),
        (found(due=30, rule=Rule(None, at(30), own=True)), "You want it serviced on 2026-12-25.", "2026-12-25, your day"),
        (
            found(due=-1, rule=Rule(None, at(-1), own=True)),
            "The day you chose for its service, 2026-11-24, has come.",
            "2026-11-24, your day",
        ),
        (
            found(due=3 * YEAR, reached=(300, 2 * YEAR, 3 * YEAR)),
            ("Its reserve comes first. A loss of 10 % is to be expected about Nov 2028 (between Sep 2027 and Nov 2029), if it "
            "goes on like this. By your rule of 5 years its next service is due in Nov 2029."),
            "about Nov 2028, by its reserve",
        ),
        (
            found(due=YEAR, reached=(300, 2 * YEAR, 3 * YEAR)),
            ("By your rule of 5 years its next service is due in Nov 2027. Its reserve may come first: a loss of 10 % is to be "
            "expected about Nov 2028 (between Sep 2027 and Nov 2029), if it goes on like this."),
            "Nov 2027, by age",
        ),
        (
            found(least=(300, 2 * YEAR, 3 * YEAR)),
            ("By its reserve: less than the 36 h you want is to be expected about Nov 2028 (between Sep 2027 and Nov "
            "2029), if it goes on like this."),
            "about Nov 2028 (Sep 2027 to Nov 2029), by its reserve",
        ),
        (found(), "", ""),
    ],
)  # fmt: skip
def test_it_is_said_what_comes_first_and_why(each: Finding, said: str, short: str) -> None:
    assert duewords.said(About(WATCH, each, 0.1, NOW, LONDON)) == said
    assert duewords.short(each, NOW, LONDON) == short


def test_where_nothing_tells_it_is_said_why() -> None:
    none = replace(found(), rule=NO_RULE)
    assert "counts from its last service, and none is noted" in duewords.nothing_tells(replace(found(), serviced=False))
    assert "too little seen of its reserve" in duewords.nothing_tells(replace(none, evidence="no stop"))
    assert "no loss of its reserve in sight" in duewords.nothing_tells(replace(none, evidence="enough"))


def test_a_day_is_that_of_the_owners_clock() -> None:
    day = at(200) - timedelta(hours=1)
    each = found(due=200 - 1 / 24, rule=Rule(None, day, own=True))
    assert "2027-06-13" in duewords.said(About(WATCH, each, 0.1, NOW, LONDON))
