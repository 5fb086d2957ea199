"""What goes into which part of the Round page."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

from tracker.core.hands import shows_time_of
from tracker.figures import Figures
from tracker.turn import Turn

SOON = timedelta(hours=24)
"""How far ahead a wind-by asks for winding now where no plan says more: no round times, or a watch they can't keep."""

SURE = 0.95
"""One button may speak for several watches only where each is as likely as this to be in the state it names."""

ON_PAGE = frozenset({"when", "clock", "in"})
"""The fields of the page that belong to no one watch."""

GOING = frozenset({"going", "going, probably"})


@dataclass(frozen=True)
class Parts:
    """The watches of each part of the page, in the order shown.

    `at` is the round that the rows are for, None where there is none. `rows` want winding, soonest first, then those that have stopped, then those to look at; `left_to_run` are not to be
    wound before a look that is offered; `later` is the next wind-by or look after those of the rows, `sooner` whether
    one that nobody keeps going has its wind-by before, `kept` whether any watch beside the rows is kept going. The rest are told apart: `right` are going and
    need no setting, `unset` are going but nobody noted that they were set, `unmeasured` go but for how long is not known, `doubtful` are past a wind-by that nobody
    keeps, and two counts.
    """

    rows: list[Figures]
    left_to_run: list[Figures]
    later: datetime | None
    sooner: bool
    kept: bool
    right: list[Figures]
    unset: list[Figures]
    unmeasured: list[Figures]
    doubtful: list[Figures]
    stopped: int
    unknown: int
    at: datetime | None = None

    @cached_property
    def to_wind(self) -> list[Figures]:
        """The rows that want winding."""
        return [each for each in self.rows if not to_look_at(each) and each.offer is None]

    @cached_property
    def to_look_at(self) -> list[Figures]:
        """The rows of which no full wind is known, or whose telling look is due."""
        return [each for each in self.rows if to_look_at(each) or each.offer is not None]

    @cached_property
    def surely_going(self) -> list[Figures]:
        """The rows that are as good as known to be going."""
        return [each for each in self.to_wind if each.standing.chance_going >= SURE]

    @cached_property
    def sitting(self) -> list[Figures]:
        """The rows that one button serves: those surely going, or all to be wound where all have surely stopped."""
        stopped = all(each.standing.chance_going <= 1.0 - SURE for each in self.to_wind)
        return self.to_wind if stopped else self.surely_going

    @cached_property
    def in_sitting(self) -> frozenset[str]:
        """Their uids."""
        return frozenset(each.watch.uid for each in self.sitting)


def parts(figures: Sequence[Figures], now: datetime, zone: ZoneInfo, turn: Turn | None = None) -> Parts:
    """Tell the watches in use apart, by what the plan puts into its next round; a customer's is no matter of rounds, nor one under a run-down test."""
    own = [each for each in figures if not each.watch.customers and each.test is None]
    rows = sorted((each for each in own if _wanted(each, now, turn)), key=_urgency)
    left_to_run = [each for each in own if _left_to_run(each, now)]
    rest = [each for each in own if not _wanted(each, now, turn) and not _left_to_run(each, now)]
    going = [each for each in rest if each.standing.word in GOING and not each.standing.look]
    unmeasured = [each for each in rest if each.standing.word in GOING and each.standing.look]
    coming = [by for each, by in _wind_bys(rest) if turn is None or each.watch.uid not in turn.planned]
    coming += [each.offer.at for each in left_to_run if each.offer is not None]
    coming += [turn.later] if turn is not None and turn.later is not None else []
    later = min(coming, default=None)
    return Parts(
        rows=rows,
        left_to_run=left_to_run,
        later=later,
        sooner=later is not None and any(_before(each, later) for each in going if not each.watch.kept),
        kept=any(each.watch.kept for each in [*rest, *left_to_run]),
        right=[each for each in going if _right(each, now, zone)],
        unmeasured=unmeasured,
        unset=[each for each in going if not _right(each, now, zone)],
        doubtful=_of(rest, lambda each: each.standing.word == "may have stopped"),
        stopped=len(_of(rest, lambda each: each.standing.word == "stopped")),
        unknown=len(_of(rest, lambda each: each.standing.word == "unknown")),
        at=turn.at if turn else None,
    )


def with_asked(rows: Sequence[Figures], figures: Sequence[Figures], problems: Mapping[str, str]) -> list[Figures]:
    """The rows, and before them any watch that what can't be taken is about, whatever page it came from."""
    about = {_uid_in(field) for field in problems}
    shown = {each.watch.uid for each in rows}
    return [each for each in figures if each.watch.uid in about - shown] + list(rows)


def unplaced(problems: Mapping[str, str], rows: Sequence[Figures]) -> list[str]:
    """The sentences that no field of the page can carry."""
    shown = {each.watch.uid for each in rows}
    return [said for field, said in problems.items() if field not in ON_PAGE and _uid_in(field) not in shown]


def _uid_in(field: str) -> str:
    return field.partition("-")[2]


def _before(each: Figures, later: datetime) -> bool:
    return each.standing.wind_by is not None and each.standing.wind_by < later


def _of(figures: Sequence[Figures], wanted: Callable[[Figures], bool]) -> list[Figures]:
    return [each for each in figures if wanted(each)]


def _wind_bys(figures: Sequence[Figures]) -> list[tuple[Figures, datetime]]:
    return [(each, by) for each in figures if each.watch.kept and (by := each.standing.wind_by) is not None]


def _wanted(each: Figures, now: datetime, turn: Turn | None) -> bool:
    if turn is not None and each.watch.uid in turn.planned and each.offer is None:
        return each.watch.uid in turn.wanted
    if not each.watch.kept:
        return False
    if each.offer is not None:
        return each.offer.at <= now
    by = each.standing.wind_by
    return to_look_at(each) or each.standing.word == "stopped" or (by is not None and by <= now + SOON)


def _left_to_run(each: Figures, now: datetime) -> bool:
    """Whether it is not to be wound yet: a look at it is to come that tells much."""
    return each.watch.kept and each.offer is not None and each.offer.at > now


def to_look_at(each: Figures) -> bool:
    """Whether this row asks for a look rather than a winding: no full wind is known, and so no wind-by.

    Not so while it is on the wrist or a winder, or was laid down of late, and known going from that.
    """
    run = each.history.current
    moved_of_late = run is not None and run.started_by != "crown" and each.standing.word != "unknown"
    return each.standing.look and not (moved_of_late or each.history.on_wrist or each.history.on_winder)


def _urgency(each: Figures) -> tuple[bool, bool, float, str]:
    """What still goes comes before what has stopped: there is time to save it."""
    by, stopped = each.standing.wind_by, each.standing.word == "stopped"
    return to_look_at(each), stopped, by.timestamp() if by else 0.0, each.watch.nickname.casefold()


def _right(each: Figures, now: datetime, zone: ZoneInfo) -> bool:
    """Whether its hands (and its date, if it shows one) were set and have run on since, as far as is noted."""
    hands = each.history.current.hands if each.history.current is not None else None
    if hands is None or (each.watch.date_window and hands.dated is None):
        return False
    return shows_time_of(hands, now, zone, each.watch.dial_hours)
