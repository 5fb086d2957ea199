from collections.abc import Collection
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tests.derived import check_cache
from tracker import derive, figures, workedout
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogSighting, LogWind, VoidEntry
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.core.reserve import Estimate, estimate, prior_for
from tracker.core.segment import Segment
from tracker.core.telling import Look
from tracker.core.watch import Watch
from tracker.errors import NotFound, NotYet
from tracker.reminders.outbox import make_due
from tracker.store import reminders
from tracker.store.estimates import Answer, Key, forget_estimates, read_answers, read_keys
from tracker.store.rows import all_rows
from tracker.store.store import Store


def registered(nickname: str = "Night ferry") -> RegisterWatch:
    return RegisterWatch(nickname=nickname, stated_reserve_h=42, habit="keep going")


def winding(watch: RegisterWatch, at: datetime, **more: object) -> LogWind:
    return LogWind.model_validate({"watch_uid": watch.uid, "at": at, "zone": "UTC", **more})


def _last_calls(store: Store, watch: RegisterWatch) -> list[tuple[str, str]]:
    """Those that are open."""
    rows = reminders.reminders_of(store.reading(), "last call", watch.uid, "")
    return [(row["state"], row["due_utc"]) for row in rows]


def _last_calls_of_all_runs(store: Store, watch: RegisterWatch) -> list[tuple[str, str]]:
    rows = all_rows(store.reading(), "SELECT state, due_utc FROM reminder WHERE subject_uid = ?", [watch.uid])
    return [(row["state"], row["due_utc"]) for row in rows]


def cached(store: Store, watch: RegisterWatch) -> tuple[Key, Answer] | None:
    return read_answers(store.reading(), [watch.uid]).get(watch.uid)


def _later(_store: Store, _now: datetime, _uids: Collection[str]) -> None:
    """Leave the estimates to whoever comes next."""


def test_a_winding_brings_its_estimate_and_with_it_its_last_call(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now)], who)
    assert cached(store, watch)
    assert [state for state, _ in _last_calls(store, watch)] == ["planned"]


def test_an_entry_is_kept_before_anything_is_worked_out(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now)], who, then=_later)
    assert derive.in_line(store.reading(), who.now) == [watch.uid]
    assert figures.collect(store, who.now) == []
    (waiting,) = figures.survey(store, who.now).waiting
    assert (waiting.watch.uid, waiting.failed, waiting.history.last.state) == (watch.uid, False, "going")


def test_until_it_is_worked_out_a_winding_is_read_with_the_last_estimate(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now - timedelta(hours=30))], who)
    before = figures.one(store, watch.uid, who.now)
    submit(store, [winding(watch, who.now, found="going")], who, then=_later)
    after = figures.one(store, watch.uid, who.now)
    assert (before.behind, after.behind) == (False, True)
    assert after.estimate == before.estimate
    assert after.standing.left_h is not None
    assert after.standing.left_h.low > 24
    derive.catch_up(store, who.now)
    assert not figures.one(store, watch.uid, who.now).behind


def test_a_winding_closes_what_was_told_before_it_is_worked_out(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now - timedelta(hours=30))], who)
    with store.change() as db:
        make_due(db, who.now + timedelta(hours=4))
    submit(store, [winding(watch, who.now, found="going")], who, then=_later)
    assert sorted(state for state, _ in _last_calls_of_all_runs(store, watch)) == ["closed", "planned"]


def test_without_any_estimate_what_was_planned_of_the_run_stays(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now - timedelta(hours=30))], who)
    before = _last_calls(store, watch)
    with store.change() as db:
        forget_estimates(db)
    seen = LogSighting(watch_uid=watch.uid, at=who.now, zone="UTC", seen="going")
    submit(store, [seen], who, then=_later)
    assert _last_calls(store, watch) == before
    submit(store, [LogSighting(watch_uid=watch.uid, at=who.now, zone="UTC", seen="stopped")], who, then=_later)
    assert _last_calls(store, watch) == []


def test_what_was_worked_out_of_an_older_log_is_not_kept(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now - timedelta(hours=30))], who, then=_later)
    late = workedout.work_out(store.reading(), watch.uid, who.now)
    assert late is not None
    submit(store, [winding(watch, who.now, found="going")], who)
    kept = cached(store, watch)
    with store.change() as db:
        assert derive.keep(db, [late], who.now) == []
    assert cached(store, watch) == kept


def test_one_that_fails_is_told_and_holds_up_no_other(
    store: Store, who: Who, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    good, bad = registered(), registered("Fog signal")
    submit(store, [good, bad, winding(good, who.now), winding(bad, who.now)], who, then=_later)

    def fails_for_one(watch: Watch, segment: Segment, _threshold: float, _look: Look | None) -> Estimate:
        if watch.uid == bad.uid:
            raise ZeroDivisionError
        return estimate(segment.runs, prior_for(watch.stated_reserve_h, watch.reserve_class), now_years=0.0)

    monkeypatch.setattr(workedout, "work_out_estimate", fails_for_one)
    derive.catch_up(store, who.now)
    assert [each.watch.uid for each in figures.collect(store, who.now)] == [good.uid]
    assert [(each.watch.uid, each.failed) for each in figures.survey(store, who.now).waiting] == [(bad.uid, True)]
    assert derive.in_line(store.reading(), who.now) == []
    assert f"The reserve of the watch {bad.uid} could not be worked out." in caplog.text
    with pytest.raises(NotYet, match="The reserve of Fog signal could not be worked out; its log is kept"):
        figures.one(store, bad.uid, who.now)
    monkeypatch.undo()
    submit(store, [winding(bad, who.now, found="going")], who)
    assert len(figures.collect(store, who.now)) == 2


def test_those_whose_log_moved_on_come_before_those_never_worked_out_and_those_a_day_older(
    store: Store, who: Who
) -> None:
    rests, wound, new = registered("Rests"), registered("Wound"), registered("New")
    yesterday = replace(who, now=who.now - timedelta(days=1))
    submit(store, [rests, wound], yesterday)
    submit(store, [new, winding(wound, who.now)], who, then=_later)
    assert derive.in_line(store.reading(), who.now) == [wound.uid, new.uid, rests.uid]


def test_the_cache_is_what_the_log_gives_after_each_kind_of_change(store: Store, who: Who) -> None:
    watch, other = registered(), registered("Fog signal")
    first = winding(watch, who.now - timedelta(hours=90))
    stopped = LogSighting(watch_uid=watch.uid, at=who.now - timedelta(hours=40), zone="UTC", seen="stopped")
    for commands in (
        [watch, other],
        [first, stopped, winding(other, who.now)],
        [VoidEntry(entry_uid=stopped.uid)],
        [Undo()],
        [ChangeSettings(stops_a_year_time_only=3)],
        [ArchiveWatch(watch_uid=other.uid)],
    ):
        submit(store, commands, who)
        assert check_cache(store.path, who.now) == 2


def test_recomputing_gives_the_same_values(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now - timedelta(hours=30)), winding(watch, who.now, found="going")], who)
    before, told = cached(store, watch), list[tuple[int, int]]()
    assert derive.recompute(store, who.now, lambda done, of: told.append((done, of))) == 1
    assert cached(store, watch) == before
    assert told == [(0, 1), (1, 1)]


def test_a_change_of_notice_moves_what_is_planned(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now)], who)
    ((_, due),) = _last_calls(store, watch)
    submit(store, [ChangeSettings(notice_h=5)], who)
    ((_, moved),) = _last_calls(store, watch)
    assert datetime.fromisoformat(due) - datetime.fromisoformat(moved) == timedelta(hours=2)


@pytest.mark.parametrize(("days", "said"), [(2, False), (8, True)])
def test_a_watch_at_rest_is_worked_out_for_each_day_and_days_are_not_worth_saying(
    store: Store,
    who: Who,
    days: int,
    said: bool,  # noqa: FBT001 -- a column of the table
) -> None:
    watch = registered()
    submit(store, [watch], who)
    later = who.now + timedelta(days=days)
    assert derive.in_line(store.reading(), later) == [watch.uid]
    assert figures.one(store, watch.uid, later).behind is said
    derive.catch_up(store, later)
    assert not figures.one(store, watch.uid, later).behind
    assert derive.in_line(store.reading(), later) == []


def test_a_run_under_way_is_worked_out_once_for_all_its_days(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now)], who)
    assert derive.in_line(store.reading(), who.now + timedelta(days=9)) == []


def test_a_stricter_owner_gets_an_earlier_wind_by(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now)], who)
    loose = figures.one(store, watch.uid, who.now).standing.wind_by
    submit(store, [ChangeSettings(stops_a_year_time_only=1)], who)
    strict = figures.one(store, watch.uid, who.now).standing.wind_by
    assert strict is not None
    assert loose is not None
    assert strict < loose


def test_another_threshold_is_asked_of_every_estimate(store: Store, who: Who) -> None:
    watches = [registered(), registered("Bar buoy")]
    submit(store, [*watches, *(winding(watch, who.now - timedelta(days=900)) for watch in watches)], who)
    submit(store, [winding(watch, who.now) for watch in watches], who)
    before = figures.collect(store, who.now)
    submit(store, [ChangeSettings(fall_percent=25)], who)
    after = figures.collect(store, who.now)
    assert [each.key.threshold for each in before + after] == [0.1, 0.1, 0.25, 0.25]
    assert after[0].estimate.fall_probability < before[0].estimate.fall_probability
    assert check_cache(store.path, who.now) == 2


def test_a_change_that_failed_leaves_no_history_behind(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, winding(watch, who.now - timedelta(hours=30))], who)
    seen = figures.one(store, watch.uid, who.now).history
    broken = LogWind(watch_uid="0" * 8 + watch.uid[8:], at=who.now, zone="UTC")
    with pytest.raises(NotFound):
        submit(store, [winding(watch, who.now, found="going"), broken], who)
    assert figures.one(store, watch.uid, who.now).history == seen
    submit(store, [winding(watch, who.now, found="stopped")], who)
    assert figures.one(store, watch.uid, who.now).history.runs[0].ended_by == "found stopped"


def test_a_watch_undone_leaves_no_figures(store: Store, who: Who) -> None:
    submit(store, [registered()], who)
    submit(store, [Undo()], who)
    assert read_keys(store.reading()) == {}


def test_a_look_that_is_offered_takes_the_last_calls_place_until_it_is_made(store: Store, who: Who) -> None:
    watch = RegisterWatch(nickname="Night ferry", stated_reserve_h=42, habit="keep going", looks_offered=True)
    submit(store, [watch, winding(watch, who.now, hands="set now")], who)
    (each,) = figures.collect(store, who.now)
    assert each.offer is not None
    assert 0.0 < each.offer.left < 0.8
    assert _open(store) == ["look"]
    look_at = each.offer.at
    looked = LogSighting(watch_uid=watch.uid, at=look_at, zone="UTC", seen="going")
    submit(store, [looked], replace(who, now=look_at))
    assert figures.one(store, watch.uid, look_at).offer is None
    assert _open(store) == ["last call"]


def test_while_an_entry_is_worked_in_a_look_that_was_planned_stays(store: Store, who: Who) -> None:
    watch = RegisterWatch(nickname="Night ferry", stated_reserve_h=42, habit="keep going", looks_offered=True)
    submit(store, [watch, winding(watch, who.now, hands="set now")], who)
    soon = who.now + timedelta(hours=5)
    submit(
        store,
        [LogSighting(watch_uid=watch.uid, at=soon, zone="UTC", seen="going")],
        replace(who, now=soon),
        then=_later,
    )
    assert figures.one(store, watch.uid, soon).offer is None
    assert _open(store) == ["look"]


def _open(store: Store) -> list[str]:
    """The kinds of the reminders that are open."""
    rows = all_rows(store.reading(), "SELECT kind FROM reminder WHERE state IN ('planned', 'due')")
    return [row["kind"] for row in rows]
