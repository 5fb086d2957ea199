"""The run-down history of a watch: its reserve over the years, each run's own word on it, and how it may go on."""

from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.reserve import Band, Estimate
from tracker.core.rundown import History
from tracker.core.segment import Segment
from tracker.plots import coursewords, dates
from tracker.plots.course import Course, ground, middle
from tracker.plots.frame import Frame, frame
from tracker.plots.lines import levels, names, shapes
from tracker.plots.markforms import Said, Told, drawn, meaning, words
from tracker.plots.marks import Mark, marks
from tracker.plots.picture import (
    FAN,
    SOFT,
    Figure,
    Picture,
    Table,
    layout,
)
from tracker.words import say


def rundowns(
    history: History,
    segment: Segment,
    estimate: Estimate,
    *,
    threshold: float,
    least_h: float | None = None,
    held_uid: str | None,
    told: Told,
    now: datetime,
    zone: ZoneInfo,
) -> Picture | None:
    """The picture; None where no run that tells something has ended, or nothing has been worked out.

    `threshold` is the share of the reserve whose loss counts as a fall; `least_h` the least reserve that the owner wants;
    `held_uid` the run held back; `told` how the page says what a run tells.
    """
    track, since = estimate.history, segment.since
    if track is None or since is None or not any(run.evidence.spans_h for run in history.runs):
        return None
    course = Course(track, since, segment.asked_at)
    found = marks(history, zone, lambda moment: course.at(moment).mid, held_uid)
    marked = levels(estimate, since, threshold, least_h)
    within = frame(found, [level.hours for level in marked], track, since, now)
    spoken = {mark.run.wind_uid: words(mark, told, now, zone) for mark in found}

    def said(mark: Mark) -> tuple[str, str]:
        return spoken[mark.run.wind_uid]

    drop = coursewords.drop_between(estimate, segment)
    look = layout(
        _dates(within, zone),
        _hours(within),
        shapes=shapes(history.services, marked, drop, within, now, zone),
        annotations=names(history.services, marked, within, now, zone),
    )
    return Picture(
        figure={"data": _traces(course, found, said, within, zone, several=bool(estimate.one_of_h)), "layout": look},
        sentence=coursewords.course(estimate, segment, threshold, now, zone),
        key=_key(found, within, drop is not None),
        tables=(_runs(found, said), _course(course, estimate, within, now, zone)),
    )


def _traces(
    course: Course, found: Sequence[Mark], said: Said, within: Frame, zone: ZoneInfo, *, several: bool
) -> list[Figure]:
    """The band below the marks, its middle above them unless it may be one of several: between them lies next to nothing."""
    was, comes = course.between(course.since, course.asked_at), course.between(course.asked_at, within.end)
    return [
        *ground(was, within.unit_h, zone),
        *ground(comes, within.unit_h, zone, fill=FAN),
        *drawn(found, said, within, zone),
        *(
            []
            if several
            else [middle(was, within.unit_h, zone), middle(comes, within.unit_h, zone, dash="dash", width=2)]
        ),
    ]


def _dates(within: Frame, zone: ZoneInfo) -> Figure:
    ends = [dates.local(moment, zone) for moment in (within.start, within.end)]
    return {"type": "date", "range": ends, **dates.ticks(within.start, within.end, zone), "showgrid": False}


def _hours(within: Frame) -> Figure:
    unit = say("days") if within.unit_h > 1 else say("hours")
    return {
        "range": [within.low_h / within.unit_h, within.high_h / within.unit_h],
        "nticks": 7,
        "title": {"text": unit, "standoff": 6, "font": {"color": SOFT, "size": 12}},
    }


def _key(found: Sequence[Mark], within: Frame, dropped: bool) -> tuple[tuple[str, str], ...]:  # noqa: FBT001 -- one fact
    """What is in the picture, and what is not."""
    forms = {mark.form for mark in found if within.shows(mark)}
    key = [(sign, words) for form, (sign, words) in meaning().items() if form in forms]
    key.append(("▒", say("the reserve: nine chances in ten")))
    key.append(("╌", say("as it may go on")))
    if dropped:
        key.append(("┊", say("it dropped between these dates")))
    if any(mark.held for mark in found):
        key.append(("◇", say("held back until it is known whether it was wound in between")))
    if any(mark.former for mark in found):
        key.append(("", say("paler: before the last service")))
    outside = sum(mark.count for mark in found if not within.shows(mark))
    if outside:
        key.append(("", say("outside the picture, in the table alone: {n}", n=outside)))
    return tuple(key)


def _runs(found: Sequence[Mark], said: Said) -> Table:
    """Every mark, the newest first."""
    newest = found[::-1]
    return Table(
        caption=say("The runs"),
        heads=(say("Wound"), say("It went")),
        rows=tuple(_row(mark, *said(mark)) for mark in newest),
        orders=("wound", "went"),
        keys=tuple((mark.at.timestamp(), mark.anchors_h[0] if mark.anchors_h else 0.0) for mark in newest),
    )


def _row(mark: Mark, when: str, told: str) -> tuple[str, str]:
    return when, say("{told}; before the last service", told=told) if mark.former else told


def _course(course: Course, estimate: Estimate, within: Frame, now: datetime, zone: ZoneInfo) -> Table:
    """The reserve at the dates of the axis, each month once; now as all other words say it."""
    known = {now: estimate.reserve_h}
    for moment in (within.end, *sorted(_marked(within, zone), reverse=True), course.since):
        told = {dates.month(each, zone) for each in known if each != now}
        if course.since <= moment <= within.end and moment != now and dates.month(moment, zone) not in told:
            known[moment] = course.at(moment)
    rows = [
        (
            say("now") if moment == now else dates.month(moment, zone),
            *([] if estimate.one_of_h else [_said(known[moment], within)]),
            _span(known[moment], within),
        )
        for moment in sorted(known, reverse=True)
    ]
    middle_head = [] if estimate.one_of_h else [say("An average run")]
    return Table(say("The reserve"), (say("When"), *middle_head, say("Nine chances in ten")), tuple(rows))


def _span(each: Band, within: Frame) -> str:
    tell = phrases.span if within.unit_h > 1 else phrases.span_in_hours
    return tell(each.low, each.high)


def _marked(within: Frame, zone: ZoneInfo) -> list[datetime]:
    found = dates.ticks(within.start, within.end, zone)["tickvals"]
    return [datetime.fromisoformat(each).replace(tzinfo=zone).astimezone(within.end.tzinfo) for each in found]


def _said(each: Band, within: Frame) -> str:
    """The middle as finely as its range."""
    tell, known_to_h = phrases.length if within.unit_h > 1 else phrases.in_hours, (each.high - each.low) / 2
    return tell(each.mid, known_to_h=known_to_h)
