"""Which watch to open next, and why: the watches in order of need, and the page's first line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from tracker import duewords, patternwords, phrases, servicewords
from tracker.asked import threshold_of
from tracker.commands.settings import Settings
from tracker.core.decline import Finding, reason
from tracker.core.nextdue import NextDue, next_due
from tracker.core.pattern import Sudden
from tracker.cues import finding
from tracker.duewords import About
from tracker.figures import Figures
from tracker.patternwords import Told
from tracker.plots import coursewords
from tracker.store.cues import OpenCue
from tracker.words import say

Word = Literal[
    "service advised", "keep an eye", "known", "due", "sign", "possible", "small", "none", "too soon", "too little"
]

WORDS: dict[Word, str] = {
    "service advised": "service advised",
    "keep an eye": "keep an eye on it",
    "known": "known to you",
    "due": "due by your rule",
    "sign": "something to look at",
    "possible": "a decline is possible, not clear yet",
    "small": "a small decline, far from what counts as a loss",
    "none": "no decline seen",
    "too soon": "serviced too short a while ago to tell",
    "too little": "not enough evidence yet",
}
"""What is said of each watch, in order of need but for what is known to its owner: that comes last of those in need."""

IN_NEED: tuple[Word, ...] = ("service advised", "keep an eye", "due", "sign", "known")


FELT = 0.005
"""A decline of which at least so much is all but sure is said, however small: its range reads above nothing."""


@dataclass(frozen=True, slots=True)
class Subject:
    """One watch as this page sees it; `cue` is the one that holds, if any."""

    each: Figures
    finding: Finding
    cue: OpenCue | None
    word: Word

    @property
    def nickname(self) -> str:
        """What it is called."""
        return self.each.watch.nickname

    @property
    def next_due(self) -> NextDue:
        """When its next service is due."""
        return next_due(self.finding)


def subjects(
    figures: Sequence[Figures], cues: Mapping[str, OpenCue], settings: Settings, now: datetime
) -> list[Subject]:
    """Every watch with what is found of it; a customer's that went out is not here to be opened."""
    here = [each for each in figures if not each.watch.gone_out]
    found = [(each, finding(each, settings, now), cues.get(each.watch.uid)) for each in here]
    return [Subject(each, seen, cue, word_of(seen, cue, now)) for each, seen, cue in found]


def word_of(seen: Finding, cue: OpenCue | None, now: datetime) -> Word:
    """What is said of a watch: its cue, unless its owner knows; else its age; else what its runs show."""
    if cue is not None:
        return "known" if cue.cue.quiet(now) else cue.cue.step
    if seen.due:
        return "due"
    if seen.evidence != "enough":
        return "too little"
    return "sign" if seen.patterns else _of_its_course(seen)


def _of_its_course(seen: Finding) -> Word:
    if seen.years < coursewords.LEAST_YEARS:
        return "too soon"
    if seen.grounds.keep >= coursewords.HARDLY:
        return "possible"
    return "small" if seen.lost.low >= FELT else "none"


def word_said(each: Subject) -> str:
    """What is said of a watch, as the page says it."""
    if each.word == "too soon" and not each.finding.serviced:
        return say("its log is too short to tell")
    return say(WORDS[each.word])


def in_need(found: Sequence[Subject]) -> list[Subject]:
    """Those that want attention, the one to open first at the head."""
    wanting = [each for each in found if each.word in IN_NEED]
    return sorted(wanting, key=lambda each: (IN_NEED.index(each.word), *_urgency(each), each.nickname.casefold()))


def _urgency(each: Subject) -> tuple[float, float]:
    if each.word == "due" and each.finding.due_at is not None:
        return each.finding.due_at.timestamp(), 0.0
    return -each.finding.lost.mid, -each.finding.grounds.keep


def first_line(found: Sequence[Subject], now: datetime, zone: ZoneInfo) -> str:
    """Which one to open next? In one sentence."""
    if not found:
        return say("No watch yet, so none to open.")
    first = next(iter(in_need(found)), None)
    if first is None:
        return _nothing(found)
    if first.word in {"service advised", "keep an eye"}:
        return _cue_line(first)
    if first.word == "due":
        return _due_line(found, first, zone)
    if first.word == "sign":
        return say("None to open; of {nickname} there is something to look at.", nickname=first.nickname)
    return _known_line(found, first, now, zone)


def _nothing(found: Sequence[Subject]) -> str:
    little = sum(each.word in {"too little", "too soon"} for each in found)
    if little == len(found):
        return say("None to open: there is not enough evidence yet.")
    if little:
        return say("None to open; of {n} there is not enough evidence yet.", n=phrases.number(little))
    return say("None to open.")


def _cue_line(first: Subject) -> str:
    told = {
        "nickname": first.nickname,
        "lost": servicewords.lost(first.finding.lost),
        "step": say("service advised") if first.word == "service advised" else say("keep an eye"),
        "look": patternwords.look(first.finding),
        "since": say("since its service") if first.finding.serviced else say("since its log began"),
    }
    least_h = first.each.watch.least_reserve_h
    if first.word == "keep an eye" and reason(first.finding, "keep an eye") == "below least" and least_h is not None:
        told["least"] = servicewords.least(least_h)
        return say("{nickname} runs for less than the {least} you want: {step}; {look} would tell more.", **told)
    return say("{nickname} has lost {lost} {since}: {step}; {look} would tell more.", **told)


def _due_line(found: Sequence[Subject], first: Subject, zone: ZoneInfo) -> str:
    others = sum(each.word == "due" for each in found) - 1
    month = servicewords.month_of(first.finding.due_at, zone) if first.finding.due_at else ""
    if others:
        return say(
            "None shows a decline; {n} are due by your rule, {nickname} first ({month}).",
            n=phrases.number(others + 1),
            nickname=first.nickname,
            month=month,
        )
    return say("None shows a decline; {nickname} is due by your rule ({month}).", nickname=first.nickname, month=month)


def _known_line(found: Sequence[Subject], first: Subject, now: datetime, zone: ZoneInfo) -> str:
    others = sum(each.word == "known" for each in found) - 1
    until = first.cue.cue.quiet_until if first.cue else None
    when = phrases.day(until, now, zone) if until else ""
    if others:
        return say("Nothing new: {n} are known to you.", n=phrases.number(others + 1))
    return say("Nothing new: {nickname} is known to you and asks again {when}.", nickname=first.nickname, when=when)


def why(each: Subject, settings: Settings) -> str:
    """The sentence its place rests on; empty where the patterns alone say it."""
    if each.cue is None:
        return ""
    return servicewords.why(
        reason(each.finding, each.cue.cue.step),
        each.finding.lost,
        nickname=each.nickname,
        serviced=each.finding.serviced,
        threshold=threshold_of(settings),
        least_h=each.each.watch.least_reserve_h,
        interval_years=each.finding.rule.interval_years,
        low_amplitude=each.finding.low_amplitude,
    )


def evidence(each: Subject, zone: ZoneInfo) -> str:
    """On what it stands: runs, and since when they count; and what is missing, if anything is."""
    seen = each.finding
    missing = servicewords.not_enough(seen.evidence, serviced=seen.serviced)
    if seen.since is None:
        return missing
    counted = servicewords.counted(seen.stops, seen.going, seen.at_most)
    told = {
        "counted": counted,
        "month": servicewords.month_of(seen.since, zone),
        "years": servicewords.years(seen.years),
    }
    if seen.serviced:
        stands = say("From {counted}, since its service in {month}, {years} ago.", **told)
    else:
        stands = say("From {counted}, since its log began in {month}, {years} ago; no service is noted.", **told)
    return f"{stands} {missing}" if missing else stands


def odds(each: Subject, settings: Settings) -> str:
    """How likely the falls are."""
    once, falls = threshold_of(settings), each.finding.falls
    return say(
        "Chance that it has lost {once} or more: {p_once}; {twice} or more: {p_twice}.",
        once=servicewords.percent(once),
        twice=servicewords.percent(2 * once),
        p_once=phrases.chance(falls.once),
        p_twice=phrases.chance(falls.twice),
    )


def forecasts(each: Subject, settings: Settings, now: datetime, zone: ZoneInfo) -> list[str]:
    """When the owner's bounds were or will be reached; a sudden drop tells its own date."""
    dropped = any(isinstance(pattern, Sudden) for pattern in each.finding.patterns)
    told = [] if dropped else [servicewords.forecast(each.finding.reached, threshold_of(settings), now, zone)]
    least_h = each.each.watch.least_reserve_h
    if least_h is not None:
        told.append(servicewords.forecast_least(each.finding.least, least_h, now, zone))
    return told


def rule(each: Subject, settings: Settings, now: datetime, zone: ZoneInfo) -> str:
    """When its next service is due by the owner's rule, and what may come before; empty without one: forecasts stand apart."""
    if each.finding.due_at is None:
        return ""
    return duewords.said(About(each.each.watch, each.finding, threshold_of(settings), now, zone))


def patterns(each: Subject, zone: ZoneInfo, *, bench: bool) -> list[Told]:
    """What its runs show, each with what it suggests and what would settle it."""
    return [
        patternwords.told(pattern, each.each.watch, each.finding, zone, bench=bench)
        for pattern in each.finding.patterns
    ]


def said_of_cue(each: Subject, now: datetime, zone: ZoneInfo) -> str:
    """Since when it is said, and until when it is not; empty without a cue."""
    if each.cue is None:
        return ""
    first = phrases.day(each.cue.raised_at, now, zone)
    until = each.cue.cue.quiet_until
    if each.word == "known" and until is not None:
        return say(
            "First said {first}. You know; it asks again {until}.", first=first, until=phrases.day(until, now, zone)
        )
    return say("First said {first}.", first=first)


def due_on_watch(each: Figures, settings: Settings, now: datetime, zone: ZoneInfo) -> str:
    """What the page of a watch says of its next service."""
    found = finding(each, settings, now)
    return duewords.said(About(each.watch, found, threshold_of(settings), now, zone)) or duewords.nothing_tells(found)
