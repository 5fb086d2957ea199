"""An estimate is made where the runs that speak have changed, and taken over where they have not."""

from datetime import timedelta

import pytest

from tests.test_derive import cached, registered, winding
from tracker import derive, workedout
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogSighting
from tracker.commands.settings import ChangeSettings
from tracker.core.reserve import Estimate
from tracker.core.segment import Segment
from tracker.core.telling import Look
from tracker.core.watch import Watch
from tracker.store.store import Store


def test_only_what_tells_of_an_ended_run_has_it_estimated_anew(
    store: Store, who: Who, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch, estimated, real = registered(), list[int](), workedout.work_out_estimate

    def counted(of: Watch, segment: Segment, threshold: float, look: Look | None) -> Estimate:
        estimated.append(len(segment.runs))
        return real(of, segment, threshold, look)

    monkeypatch.setattr(workedout, "work_out_estimate", counted)
    submit(store, [watch, *(winding(watch, who.now - timedelta(hours=hours)) for hours in (90, 60, 30))], who)
    assert estimated == [2]
    seen = LogSighting(watch_uid=watch.uid, at=who.now - timedelta(hours=3), zone="UTC", seen="going")
    submit(store, [seen], who)
    assert estimated == [2]
    former = cached(store, watch)
    derive.recompute(store, who.now)
    assert cached(store, watch) == former
    assert estimated == [2, 2]
    submit(store, [winding(watch, who.now, found="going")], who)
    assert estimated == [2, 2, 3]
    submit(store, [ChangeSettings(fall_percent=15)], who)
    assert estimated == [2, 2, 3, 3]


def test_what_is_cached_and_can_not_be_read_is_worked_out_anew(store: Store, who: Who) -> None:
    watch = registered()
    submit(store, [watch, *(winding(watch, who.now - timedelta(hours=hours)) for hours in (60, 30))], who)
    former = cached(store, watch)
    with store.change() as db:
        db.execute("UPDATE estimate SET answer = '{\"at_rest\": false}'")
    derive.work_out_one(store, watch.uid, who.now)
    assert cached(store, watch) == former


def test_there_is_nothing_to_work_out_of_a_watch_that_is_gone(store: Store, who: Who) -> None:
    assert workedout.work_out(store.reading(), "gone", who.now) is None
