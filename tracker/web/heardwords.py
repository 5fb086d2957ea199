"""What is asked of a watch that its sensor left open, in a sentence, and the answers as buttons."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.heard import Question
from tracker.figures import Figures
from tracker.web import logwords
from tracker.words import say

ANSWERS: dict[str, tuple[tuple[str, str], ...]] = {
    "lifted or stopped": (("stopped", "It had stopped"), ("lifted", "I picked it up")),
    "wound": (
        ("wound-going", "Wound – it was going"),
        ("wound-stopped", "Wound – it had stopped"),
        ("wound-part", "Wound in part"),
        ("not wound", "Not wound"),
    ),
    "not heard": (("not wound", "It was not"),),
    "another watch": (("another watch", "Another watch lies there"),),
    "log or sensor": (("the log", "The log is right"), ("the sensor", "The sensor is right")),
}
"""The words of the buttons and what stands on them, by what is asked."""


ASKED_FOR = timedelta(days=7)
"""So long the round asks."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question as the page shows it."""

    question: Question
    sentence: str
    answers: tuple[tuple[str, str], ...]


def asked(
    questions: Sequence[Question], rows: Sequence[Mapping[str, Any]], now: datetime, zone: ZoneInfo
) -> list[Asked]:
    """The newest question, and all that tell of an entry of the log (`rows`): those before it have passed."""
    shown = [each for each in questions if each.asking == "log or sensor" or each is questions[-1]]
    return [Asked(each, sentence(each, rows, now, zone), _buttons(each)) for each in reversed(shown)]


def on_round(figures: Sequence[Figures], now: datetime, zone: ZoneInfo) -> list[tuple[Figures, Asked]]:
    """The newest question of each of the owner's watches, while it is fresh; the page of a watch asks on."""
    found = []
    for each in figures:
        fresh = [question for question in each.questions if now - question.until <= ASKED_FOR]
        if fresh and not each.watch.customers:
            found.append((each, asked(fresh, (), now, zone)[0]))
    return found


def _buttons(question: Question) -> tuple[tuple[str, str], ...]:
    return tuple((word, say(label)) for word, label in ANSWERS[question.asking])


def sentence(question: Question, rows: Sequence[Mapping[str, Any]], now: datetime, zone: ZoneInfo) -> str:
    """What is asked, with the moments it is about."""
    since, until = phrases.when(question.since, now, zone), phrases.when(question.until, now, zone)
    if question.asking == "lifted or stopped":
        return say(
            "Its sensor heard it going until {since} and no more from {until} on. Had it stopped, or did you pick it up?",
            since=since,
            until=_same_day(question, until, zone),
        )
    if question.asking == "wound":
        return say(
            "It was away from its sensor from {since} and has been going there again since {until}. Was it wound at about {time}?",
            since=since,
            until=_same_day(question, until, zone),
            time=phrases.clock_time(question.until, zone),
        )
    if question.asking == "another watch":
        return say(
            "Since {since} what its sensor hears does not beat as this watch does. Does another watch lie there?",
            since=since,
        )
    if question.asking == "not heard":
        return say(
            "Its sensor told nothing from {since} to {until}. Was it wound in that time?",
            since=since,
            until=_same_day(question, until, zone),
        )
    row = next((row for row in rows if row["uid"] == question.entry_uid), None)
    noted = say("Noted: it had stopped.")
    if row is not None:
        noted = say("Noted for {when}: {told}.", when=logwords.when(row, now, zone), told=logwords.told(row))
    heard = say(
        "But its sensor heard it going from {since} to {until}. Which is right? Until you say, the log counts.",
        since=since,
        until=_same_day(question, until, zone),
    )
    return f"{noted} {heard}"


def _same_day(question: Question, until: str, zone: ZoneInfo) -> str:
    same = question.since.astimezone(zone).date() == question.until.astimezone(zone).date()
    return phrases.clock_time(question.until, zone) if same else until
