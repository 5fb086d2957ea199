from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tests.derived import check_cache
from tracker import derive, figures
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogSighting, LogWind, VoidEntry
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.errors import NotFound
from tracker.store import reminders
from tracker.store.estimates import read_estimates
from tracker.store.store import Store


def _kept(nickname: str = "Night ferry") -> RegisterWatch:
    return RegisterWatch(nickname=nickname, stated_reserve_h=42, habit="keep going")


def _wind(watch: RegisterWatch, at: datetime, **more: object) -> LogWind:
    return LogWind.model_validate({"watch_uid": watch.uid, "at": at, "zone": "UTC", **more})


def _last_calls(store: Store, watch: RegisterWatch) -> list[tuple[str, str]]:
    rows = reminders.reminders_of(store.reading(), "last call", watch.uid, "")
    return [(row["state"], row["due_utc"]) for row in rows]


def test_a_winding_brings_its_estimate_and_its_last_call_in_the_same_change(store: Store, who: Who) -> None:
    watch = _kept()
    submit(store, [watch, _wind(watch, who.now)], who)
    assert watch.uid in read_estimates(store.reading())
    assert [state for state, _ in _last_calls(store, watch)] == ["planned"]


def test_the_cache_is_what_the_log_gives_after_each_kind_of_change(store: Store, who: Who) -> None:
    watch, other = _kept(), _kept("Fog signal")
    first = _wind(watch, who.now - timedelta(hours=90))
    stopped = LogSighting(watch_uid=watch.uid, at=who.now - timedelta(hours=40), zone="UTC", seen="stopped")
    for commands in (
        [watch, other],
        [first, stopped, _wind(other, who.now)],
        [VoidEntry(entry_uid=stopped.uid)],
        [Undo()],
        [ChangeSettings(stops_a_year_time_only=3)],
        [ArchiveWatch(watch_uid=other.uid)],
    ):
        submit(store, commands, who)
        assert check_cache(store.path, who.now) == 2


def test_recomputing_gives_the_same_values(store: Store, who: Who) -> None:
    watch = _kept()
    submit(store, [watch, _wind(watch, who.now - timedelta(hours=30)), _wind(watch, who.now, found="going")], who)
    before = read_estimates(store.reading())
    assert derive.recompute(store, who.now) == 1
    assert read_estimates(store.reading()) == before


def test_a_change_of_notice_moves_what_is_planned(store: Store, who: Who) -> None:
    watch = _kept()
    submit(store, [watch, _wind(watch, who.now)], who)
    ((_, due),) = _last_calls(store, watch)
    submit(store, [ChangeSettings(notice_h=5)], who)
    ((_, moved),) = _last_calls(store, watch)
    assert datetime.fromisoformat(due) - datetime.fromisoformat(moved) == timedelta(hours=2)


def test_an_old_day_is_worked_out_anew_for_a_watch_at_rest(store: Store, who: Who) -> None:
    watch = _kept()
    submit(store, [watch], who)
    later = replace(who, now=who.now + timedelta(days=2))
    assert figures.work_out(store.reading(), [figures.one(store, watch.uid, who.now).watch], later.now)[0].fresh
    figures.collect(store, later.now)
    assert not figures.collect(store, later.now)[0].fresh


def test_a_stricter_owner_gets_an_earlier_wind_by(store: Store, who: Who) -> None:
    watch = _kept()
    submit(store, [watch, _wind(watch, who.now)], who)
    loose = figures.one(store, watch.uid, who.now).standing.wind_by
    submit(store, [ChangeSettings(stops_a_year_time_only=1)], who)
    strict = figures.one(store, watch.uid, who.now).standing.wind_by
    assert strict is not None
    assert loose is not None
    assert strict < loose


def test_another_threshold_is_asked_of_every_estimate(store: Store, who: Who) -> None:
    watches = [_kept(), _kept("Bar buoy")]
    submit(store, [*watches, *(_wind(watch, who.now - timedelta(days=900)) for watch in watches)], who)
    submit(store, [_wind(watch, who.now) for watch in watches], who)
    before = figures.collect(store, who.now)
    submit(store, [ChangeSettings(fall_percent=25)], who)
    after = figures.collect(store, who.now)
    assert [each.key.threshold for each in before + after] == [0.1, 0.1, 0.25, 0.25]
    assert after[0].estimate.fall_probability < before[0].estimate.fall_probability
    assert check_cache(store.path, who.now) == 2


def test_a_change_that_failed_leaves_no_history_behind(store: Store, who: Who) -> None:
    watch = _kept()
    submit(store, [watch, _wind(watch, who.now - timedelta(hours=30))], who)
    seen = figures.one(store, watch.uid, who.now).history
    broken = LogWind(watch_uid="0" * 8 + watch.uid[8:], at=who.now, zone="UTC")
    with pytest.raises(NotFound):
        submit(store, [_wind(watch, who.now, found="going"), broken], who)
    assert figures.one(store, watch.uid, who.now).history == seen
    submit(store, [_wind(watch, who.now, found="stopped")], who)
    assert figures.one(store, watch.uid, who.now).history.runs[0].ended_by == "found stopped"


def test_a_watch_undone_leaves_no_figures(store: Store, who: Who) -> None:
    submit(store, [_kept()], who)
    submit(store, [Undo()], who)
    assert read_estimates(store.reading()) == {}
