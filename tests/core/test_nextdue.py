from dataclasses import replace
from datetime import UTC, datetime, timedelta

from tests.web.declines import subject
from tracker.core.decline import Finding, Forecast
from tracker.core.nextdue import Due, next_due
from tracker.core.servicerule import Rule

NOW = datetime(2026, 11, 25, tzinfo=UTC)
DAY = timedelta(days=1)


def at(days: float) -> datetime:
    return NOW + days * DAY


def found(*, due: float | None = None, rule: Rule | None = None, reached: tuple[float, float | None, float | None] | None = None,
          least: tuple[float, float | None, float | None] | None = None) -> Finding:  # fmt: skip
    def told(days: tuple[float, float | None, float | None] | None) -> Forecast | None:
        if days is None:
            return None
        mid, high = (None if each is None else at(each) for each in days[1:])
        return Forecast(0.9, at(days[0]), mid, high)

    due_at = None if due is None else at(due)
    return replace(
        subject("w").finding, due_at=due_at, rule=rule or Rule(5.0), reached=told(reached), least=told(least), due=False
    )


def test_nothing_known_nothing_due() -> None:
    assert next_due(found()).first is None


def test_age_comes_first_where_the_band_of_the_evidence_begins_later() -> None:
    told = next_due(found(due=100, reached=(200, 300, 400)))
    assert told.first == Due("age", at(100), at(100), at(100))
    assert told.sooner == ()
    assert [each.by for each in told.later] == ["evidence"]


def test_evidence_that_begins_before_the_age_may_come_sooner() -> None:
    told = next_due(found(due=250, reached=(200, 300, 400)))
    assert (told.first and told.first.by, [each.by for each in told.sooner]) == ("age", ["evidence"])


def test_evidence_whose_middle_is_earlier_comes_first_with_its_band() -> None:
    told = next_due(found(due=350, reached=(200, 300, 400)))
    assert told.first == Due("evidence", at(200), at(300), at(400))
    assert [each.by for each in (*told.sooner, *told.later)] == ["age"]


def test_what_was_reached_already_comes_before_all_that_is_to_come() -> None:
    told = next_due(found(due=10, reached=(-200, -100, -20)))
    assert told.first is not None
    assert told.first.by == "evidence"


def test_a_loss_that_is_never_as_likely_as_not_is_no_date_but_may_come_sooner() -> None:
    told = next_due(found(due=350, reached=(200, None, None)))
    assert (told.first and told.first.by, [each.by for each in told.sooner]) == ("age", ["evidence"])
    alone = next_due(found(reached=(200, None, None)))
    assert (alone.first, [each.by for each in alone.later]) == (None, ["evidence"])


def test_the_rule_for_the_watch_tells_whether_by_years_or_by_a_day() -> None:
    own = next_due(found(due=30, rule=Rule(3.0, None, own=True))).first
    day = next_due(found(due=30, rule=Rule(3.0, at(30), own=True))).first
    assert (own and own.by, day and day.by) == ("own age", "own day")


def test_the_least_that_will_do_counts_as_evidence_too() -> None:
    told = next_due(found(reached=(200, 300, None), least=(50, 90, 120)))
    assert told.first == Due("least", at(50), at(90), at(120))
