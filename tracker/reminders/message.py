"""What a reminder says, from its facts and the time it is said at; nothing is kept as prose."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tracker import phrases, servicewords, winderwords
from tracker.reminders.reminder import (
    CUE,
    LOOK,
    ROUND,
    RUN,
    WINDER,
    CueReminder,
    Reminder,
    RoundReminder,
    RunReminder,
    WinderReminder,
    cue_from_row,
    reminder_from_row,
    round_from_row,
    run_from_row,
    winder_from_row,
)
from tracker.words import say


@dataclass(frozen=True, slots=True)
class Message:
    """A title, a sentence, the key by which a receiver knows a repeat, and an address where it is answered, if any."""

    title: str
    text: str
    key: str
    link: str = ""

    @property
    def body(self) -> str:
        """What is sent below the title."""
        return f"{self.text}\n{say('Done, or put off: {link}', link=self.link)}" if self.link else self.text


def of_row(row: dict[str, Any], now: datetime | None, zone: ZoneInfo) -> Message:
    """What the reminder of a row says as it is true now, or, without a now, when it was due."""
    if row["kind"] == CUE:
        return cue_message(cue_from_row(row), zone)
    if row["kind"] == WINDER:
        winder = winder_from_row(row)
        return winder_message(winder, now or winder.due_at, zone)
    if row["kind"] == ROUND:
        digest = round_from_row(row)
        return round_message(digest, now or digest.due_at)
    if row["kind"] == RUN:
        return run_message(run_from_row(row), zone)
    reminder = reminder_from_row(row)
    return message(reminder, now or reminder.due_at, zone)


def message(reminder: Reminder, now: datetime, zone: ZoneInfo) -> Message:
    """The sentence of a last call or a look as it is true now, on the owner's clock."""
    nickname, wind_by = reminder.facts.nickname, reminder.useful_until
    if reminder.kind == LOOK and wind_by <= reminder.planned_at:
        # A look that is offered lies ahead when it is planned.
        day, time = phrases.day(wind_by, now, zone), phrases.clock_time(wind_by, zone)
        text = say("{nickname} stopped {day} at {time}, by its sensor.", nickname=nickname, day=day, time=time)
        return Message(say("{nickname} has stopped", nickname=nickname), text, reminder.key)
    if reminder.kind == LOOK:
        text = say(
            "{nickname}: look at it before it is wound. If it has stopped, read its hands first.", nickname=nickname
        )
        return Message(say("Look at {nickname}", nickname=nickname), text, reminder.key)
    if now < wind_by:
        title = say("Wind {nickname}", nickname=nickname)
        when = phrases.when_and_distance(wind_by, now, zone)
        return Message(title, say("{nickname}: wind by {when}.", nickname=nickname, when=when), reminder.key)
    title = say("Look at {nickname}", nickname=nickname)
    day, time = phrases.day(wind_by, now, zone), phrases.clock_time(wind_by, zone)
    text = say("{nickname} may have stopped {day} at about {time}.", nickname=nickname, day=day, time=time)
    return Message(title, text, reminder.key)


def cue_message(reminder: CueReminder, zone: ZoneInfo) -> Message:
    """The sentence of a cue with the evidence it stands on."""
    facts = reminder.facts
    why = servicewords.why(
        facts.reason,
        facts.lost,
        nickname=facts.nickname,
        serviced=facts.serviced,
        threshold=facts.threshold,
        least_h=facts.least_h,
        interval_years=facts.interval_years,
        low_amplitude=facts.low_amplitude,
    )
    evidence = say(
        "From {counted}, since {month}.",
        counted=servicewords.counted(facts.stops, facts.going),
        month=servicewords.month_of(facts.since, zone),
    )
    title = say("{nickname}: keep an eye on it", nickname=facts.nickname)
    if facts.step == "service advised":
        title = say("{nickname}: service advised", nickname=facts.nickname)
    return Message(title, f"{why} {evidence} {servicewords.seldom()}", reminder.key)


NAMED_IN_TITLE = 3


def round_message(reminder: RoundReminder, now: datetime) -> Message:
    """What is to be wound in a round and was not yet, by whether it can be reached; once it is over, what was."""
    asked = reminder.facts.open or reminder.facts.named
    names = [each.nickname for each in asked]
    more = len(names) - NAMED_IN_TITLE
    shown = names if more <= 1 else [*names[:NAMED_IN_TITLE], say("{n} more", n=phrases.number(more))]
    told = [
        say("{where}: {watches}.", where=where, watches=phrases.listed(each))
        for where, each in (
            (say("At hand"), [each.nickname for each in asked if each.at_hand]),
            (say("Elsewhere"), [each.nickname for each in asked if not each.at_hand]),
        )
        if each
    ]
    late = [each.nickname for each in asked if each.wind_by is None or each.wind_by <= now]
    if late:
        told.append(say("Look first, it may have stopped: {watches}.", watches=phrases.listed(late)))
    return Message(say("Wind {watches}", watches=phrases.listed(shown)), " ".join(told), reminder.key)


def run_message(reminder: RunReminder, zone: ZoneInfo) -> Message:
    """The sentence of a watch at rest whose day for a run has come."""
    facts = reminder.facts
    title = say("Let {nickname} run", nickname=facts.nickname)
    if facts.last_at is None:
        text = say(
            "{nickname} is to run every {n} days; no run of it is noted.", nickname=facts.nickname, n=facts.every_days
        )
        return Message(title, text, reminder.key)
    text = say(
        "{nickname} is to run every {n} days; it was last wound or worn on {date}.",
        nickname=facts.nickname,
        n=facts.every_days,
        date=phrases.date_of(facts.last_at.astimezone(zone).date()),
    )
    return Message(title, text, reminder.key)


def winder_message(reminder: WinderReminder, now: datetime, zone: ZoneInfo) -> Message:
    """The sentence of what was found of a winder."""
    facts = reminder.facts
    return Message(winderwords.title(facts), winderwords.text(facts, now, zone), reminder.key)
