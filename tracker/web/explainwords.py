"""How do we know? One watch's reserve explained in plain words, for the page and for the command line."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.evidence import Evidence
from tracker.core.explain import Explanation, Without, moved
from tracker.core.peaks import Peak
from tracker.core.rundown import RunDown
from tracker.core.spread import Band
from tracker.explained import runs_used
from tracker.figures import Figures
from tracker.web import logwords, lookwords, reservewords, runwords, unknownwords
from tracker.words import say

SHOWN_AT_FIRST = 12
NOTHING = "Next to nothing"
NOTHING_H, NOTHING_SHARE = 0.002, 0.02
"""A middle moved by less than the one (share), a range by less than the other, are not worth a word."""
LEAST_SAID_H = 0.05
IDLE = 0.75
HARDLY, MOVED, FAR = 0.9, 0.05, 0.25
"""A range above the one share of what it was is hardly narrowed; a middle moved by more than the others (share) has moved,
or has moved so far that widths are no longer to be compared."""
SAME = 0.1
"""A middle within this share of one of several lengths is that length."""
NARROWED = (
    (0.72, "Its runs have narrowed that range by about a fifth"),
    (0.58, "Its runs have narrowed that range by about a third"),
    (0.4, "Its runs have narrowed that range to about half"),
    (0.29, "Its runs have narrowed that range to about a third"),
    (0.22, "Its runs have narrowed that range to about a quarter"),
    (0.18, "Its runs have narrowed that range to about a fifth"),
)
"""What is said of a range that is above this share of what it was."""
FEW_DATES = 4

EACH_ENDED = {
    "found stopped": "each found stopped",
    "stop heard": "each stop told by a sensor",
    "rewound going": "each wound while it was going",
    "rewound, not noticed": "each wound on",
    "part wind": "each wound on in part",
    "stopped on purpose": "each stopped on purpose",
    "service": "each before a service",
    "worn": "each put on",
    "on a winder": "each put on a winder",
}
"""How the runs of a month ended, where they ended alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One run, or those of a month and kind: when, what was noted, what it tells, what it did to the answer.

    `members` are the runs of a month, each as when and what it tells.
    """

    when: str
    noted: str
    tells: str
    did: str
    members: list[tuple[str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """The whole explanation: sentences and the rows of the runs, `count` of them in all.

    `together` is said of rows most of which do nothing.
    """

    started: list[str]
    rows: list[Row]
    count: int
    together: str
    left_out: list[str]
    unknown: list[str]
    more: list[str]


def account(
    each: Figures,
    found: Explanation,
    notes: Mapping[str, Mapping[str, Any]],
    now: datetime,
    zone: ZoneInfo,
    *,
    by_date: bool = False,
    everything: bool = False,
) -> Account:
    """Explain a reserve; `notes` are the rows of the log by uid. The most telling runs come first, or the newest."""
    reserve_h, runs = each.estimate.reserve_h, runs_used(each)
    newest = sorted(found.without, key=lambda without: -max(without.runs))
    ordered = newest if by_date else sorted(newest, key=lambda without: -moved(reserve_h, without.reserve_h))
    shown = ordered if everything else ordered[:SHOWN_AT_FIRST]
    return Account(
        started=started(each, found),
        rows=[
            _row(
                each,
                [runs[place] for place in without.runs],
                _did(each, [runs[place] for place in without.runs], without, alone=len(ordered) == 1),
                notes,
                now,
                zone,
            )
            for without in shown
        ],
        count=len(ordered),
        together=together(reserve_h, ordered),
        left_out=[*left_out(each, now, zone), *_flaws(each, notes, now, zone)],
        unknown=unknownwords.cannot_know(each),
        more=lookwords.most_telling(each, found.looks),
    )


def together(reserve_h: Band, all_of_them: Sequence[Without]) -> str:
    """What is said of many rows most of which add nothing to the others; empty elsewhere."""
    idle = sum(effect(reserve_h, each.reserve_h) == say(NOTHING) for each in all_of_them)
    if len(all_of_them) < 2 or idle < IDLE * len(all_of_them):  # noqa: PLR2004 -- many
        return ""
    return say("Most of these do little by themselves, for the others say the same; what they tell they tell together.")


def answer(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    """What is said of the reserve now, and from what."""
    known, since = reservewords.reserve_now(each), reservewords.since(each, now, zone)
    if not any(each.estimate.evidence.values()):
        return phrases.capital(say("{reserve} from full wind to stop: nothing is seen of it yet.", reserve=known))
    return phrases.capital(say("{reserve} from full wind to stop, {since}.", reserve=known, since=since))


def started(each: Figures, found: Explanation) -> list[str]:
    """Where the estimate started, and how far the runs have brought it."""
    before, band = found.prior_h, each.estimate.reserve_h
    why = (
        say("Makers’ figures are nominal, watches differ from them, and age")
        if each.watch.stated_reserve_h is not None
        else say("No more than its kind is known, and kinds are wide")
    )
    start = say(
        "It starts from {given}. {why}: that alone would say {reserve}.",
        given=reservewords.given(each.watch),
        why=why,
        reserve=reservewords.band_said(before),
    )
    if not found.without:
        return [start]
    humps = len(each.estimate.one_of_h)
    if humps:
        return [start, say("Its runs have split that into {n} ranges, of which one holds.", n=phrases.number(humps))]
    return [start, say("{brought}.", brought=_brought(before, band))]


def ratio(band: Band) -> float:
    """Width of a band as a share of its middle."""
    return (band.high - band.low) / band.mid


def _brought(before: Band, now: Band) -> str:
    share, by = ratio(now) / ratio(before), abs(math.log(now.mid / before.mid))
    if by > FAR:
        return say("Its runs have moved that to {reserve}", reserve=reservewords.band_said(now))
    if share > HARDLY:
        return (
            say("Its runs have moved that, but hardly narrowed it")
            if by > MOVED
            else say("Its runs have hardly changed that")
        )
    for least, words in NARROWED:
        if share > least:
            return say(words)
    return say("Its runs have narrowed that range to one part in {n}", n=phrases.number(round(1 / share)))


def _row(  # noqa: PLR0917 -- the parts of a row
    each: Figures,
    runs: Sequence[RunDown],
    did: str,
    notes: Mapping[str, Mapping[str, Any]],
    now: datetime,
    zone: ZoneInfo,
) -> Row:
    near_h = [reservewords.reserve_then(each, run).mid for run in runs]
    if len(runs) == 1:
        return Row(
            when=runwords.begun(runs[0], now, zone),
            noted=_noted(each, runs[0], notes, now, zone),
            tells=runwords.told(runs[0], near_h[0]),
            did=did,
            members=[],
        )
    return Row(
        when=_month(runs[0], zone),
        noted=_noted_together(runs),
        tells=_told_together(runs, near_h),
        did=did,
        members=[
            (runwords.begun(run, now, zone), runwords.told(run, hours))
            for run, hours in reversed(list(zip(runs, near_h, strict=True)))
        ],
    )


def _did(each: Figures, runs: Sequence[RunDown], without: Without, *, alone: bool) -> str:
    """What a row did; what fits the answer is not called unlike the others, nor what has no others."""
    now, humps = each.estimate.reserve_h, each.estimate.one_of_h
    odd = not alone and not any(_fits(each, run) for run in runs)
    return _tipped(now, without.reserve_h, humps) or effect(now, without.reserve_h, odd=odd)


def _fits(each: Figures, run: RunDown) -> bool:
    """Whether what a run tells has room for the reserve at its age, the scatter of single runs in mind."""
    scatter = each.estimate.scatter
    room = math.exp(2 * scatter.mid) if scatter else 1.0
    bands = [reservewords.reserve_then(each, run), *(hump.band for hump in each.estimate.one_of_h)]
    return any(
        low <= band.high * room and high >= band.low / room for low, high in run.evidence.spans_h for band in bands
    )


def _tipped(now: Band, without: Band, humps: Sequence[Peak]) -> str:
    """What a run did that moved the middle from one of several lengths to another: no length, but their weights."""
    if not humps:
        return ""
    towards = min(humps, key=lambda hump: abs(math.log(hump.band.mid / now.mid))).band
    nearest = min(humps, key=lambda hump: abs(math.log(hump.band.mid / without.mid))).band
    if nearest == towards:
        return ""
    before = nearest if abs(math.log(nearest.mid / without.mid)) < SAME else without
    return say(
        "It tips the answer from about {before} towards about {now}",
        before=phrases.in_hours(before.mid, 1.0),
        now=phrases.in_hours(towards.mid, 1.0),
    )


def _noted(each: Figures, run: RunDown, notes: Mapping[str, Mapping[str, Any]], now: datetime, zone: ZoneInfo) -> str:
    read = [notes[uid] for uid in run.uids if uid in notes and uid != run.wind_uid]
    shown = [note["shown"] for note in read if note.get("shown")]
    hands = [say("hands at {shown}", shown=shown[-1])] if shown else []
    flawed = {uid for uid, _ in each.history.flaws}
    if shown and run.evidence.kind in {"at_most", "between"} and not flawed & {*run.uids} and not run.side_spring_used:
        hands.append(say("when they were last set was not noted, so they can’t be read"))
    return phrases.capital("; ".join([runwords.ended(run, now, zone), *hands]))


def _month(run: RunDown, zone: ZoneInfo) -> str:
    local = run.started_at.astimezone(zone)
    return phrases.month_of(local.date())


def _noted_together(runs: Sequence[RunDown]) -> str:
    count = say("{n} runs", n=phrases.number(len(runs)))
    (how, alike), *_ = Counter(run.ended_by for run in runs).most_common(1)
    return phrases.capital(f"{count}, {say(EACH_ENDED[how])}" if alike == len(runs) else count)


def _told_together(runs: Sequence[RunDown], near_h: Sequence[float]) -> str:
    """The least and the most of what these runs of one kind tell."""
    told = [run.evidence for run in runs]
    ends = sorted(_figure_h(one, hours) for one, hours in zip(told, near_h, strict=True))
    range_ = phrases.span(ends[0], ends[-1])
    words = {
        "at_least": "each at least {range}",
        "at_most": "each at most {range}",
        "between": "halfway between the looks: {range}",
        "one_of": "{range} by the hands",
        "exact": "{range}",
    }
    return say(words[told[0].kind], range=range_)


def _figure_h(evidence: Evidence, near_h: float) -> float:
    """The bound that a run tells, or the middle of where it stopped."""
    if evidence.kind in {"at_least", "at_most"}:
        return evidence.spans_h[0][evidence.kind == "at_most"]
    return min((math.fsum(span) / 2 for span in evidence.spans_h), key=lambda hours: abs(hours - near_h))


def effect(now: Band, without: Band, *, odd: bool = False) -> str:
    """What a run did: by how much the answer would differ without it; `odd`: it fits the others badly."""
    by_h, share = now.mid - without.mid, ratio(now) / ratio(without)
    parts = []
    if abs(by_h) > max(NOTHING_H * now.mid, LEAST_SAID_H):
        length = phrases.in_hours(abs(by_h), 0.1 if abs(by_h) < 10 else 1.0)  # noqa: PLR2004 -- two digits
        parts.append(say("{length} longer", length=length) if by_h > 0 else say("{length} shorter", length=length))
    if share < 1 - NOTHING_SHARE:
        parts.append(say("range {n} % narrower", n=round(100 * (1 - share))))
    elif share > 1 + NOTHING_SHARE:
        wider = say("range {n} % wider", n=round(100 * (share - 1)))
        parts.append(say("{wider}: it is unlike the others", wider=wider) if odd else wider)
    return phrases.capital(", ".join(parts)) if parts else say(NOTHING)


def left_out(each: Figures, now: datetime, zone: ZoneInfo) -> list[str]:
    """The runs that tell nothing, by reason, with the one held back and those before the service."""
    held_uid = each.held.run_uid if each.held else None
    runs = runs_used(each)
    lines = []
    for reason, words in runwords.LEFT_OUT.items():
        days = [phrases.day(run.started_at, now, zone) for run in runs if run.reason == reason]
        if days:
            told = say("{count}: {why} (wound {days}).", count=_runs(len(days)), why=say(words), days=_dates(days))
            lines.append(told)
    held = [run for run in runs if run.wind_uid == held_uid]
    if each.held is not None and held:
        lines.append(
            say(
                "One is held back, wound {day}: {length} is longer than it is known to go; often a winding was not noted.",
                day=phrases.day(held[0].started_at, now, zone),
                length=phrases.length(each.held.hours),
            )
        )
    before = len(each.history.runs) - len(runs)
    if before:
        lines.append(say("{count} before its last service: a service begins anew.", count=_runs(before)))
    return lines


def _runs(count: int) -> str:
    return say("One run") if count == 1 else phrases.capital(say("{n} runs", n=phrases.number(count)))


def _dates(days: Sequence[str]) -> str:
    newest = list(reversed(days))
    more = [say("{n} others", n=phrases.number(len(days) - FEW_DATES))] if len(days) > FEW_DATES + 1 else []
    return ", ".join([*newest[: FEW_DATES if more else None], *more])


def _flaws(each: Figures, notes: Mapping[str, Mapping[str, Any]], now: datetime, zone: ZoneInfo) -> list[str]:
    told = [uid for uid, _ in each.history.flaws if uid in notes]
    named = {uid: logwords.when(notes[uid], now, zone) for uid in told}
    return runwords.flaws(each.history.flaws, named)
