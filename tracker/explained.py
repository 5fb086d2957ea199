"""How do we know? The reserve of one watch taken apart into what each run contributed."""

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial
from zoneinfo import ZoneInfo

from tracker.core.explain import Explanation, explain, grouped
from tracker.core.rundown import RunDown
from tracker.core.segment import ended_since_service
from tracker.figures import Figures

KEPT = 64
"""Explanations kept, for a page is opened again by each of its links."""

_begun: OrderedDict[object, Future[Explanation]] = OrderedDict()
_one_after_another = ThreadPoolExecutor(1, "explaining")


def runs_used(each: Figures) -> list[RunDown]:
    """The runs since the last service, in the order of the segment's own."""
    return ended_since_service(each.history)


def explained(each: Figures, zone: ZoneInfo) -> Explanation:
    """What each of its runs, or those of a month and kind, contributed. Takes an estimate's time or two."""
    return _work(each, zone)[1]()


def explained_soon(each: Figures, zone: ZoneInfo, patience_s: float) -> Explanation | None:
    """The same for those who will not wait longer: None then, while it goes on; asked again, it is there."""
    key, work = _work(each, zone)
    if key not in _begun:
        _begun[key] = _one_after_another.submit(work)
        while len(_begun) > KEPT:
            _begun.popitem(last=False)[1].cancel()
    try:
        return _begun[key].result(patience_s)
    except TimeoutError:
        return None


def _work(each: Figures, zone: ZoneInfo) -> tuple[object, Callable[[], Explanation]]:
    held_uid = each.held.run_uid if each.held else None
    runs = runs_used(each)
    groups = tuple(group for group in grouped(runs, zone) if all(runs[place].wind_uid != held_uid for place in group))
    aged = each.segment.now_years
    seen_h, dial_hours = each.standing.seen_going_h if each.history.current else 0.0, each.watch.dial_hours
    key = (each.segment.runs, each.estimate.prior, groups, aged, each.estimate.reserve_h, seen_h, dial_hours)
    return key, partial(
        explain,
        each.segment.runs,
        each.estimate.prior,
        groups,
        now_years=aged,
        reserve_h=each.estimate.reserve_h,
        seen_going_h=seen_h,
        dial_hours=dial_hours,
    )
