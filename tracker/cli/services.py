"""Which watch to open next, on the command line; and that one knows of it."""

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from tracker import phrases, servicewords
from tracker.cli.forms import write
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.collection import preferences
from tracker.commands.build import build
from tracker.commands.cue import AcknowledgeCue, months_on
from tracker.core.decline import Forecast
from tracker.core.nextdue import Due
from tracker.figures import threshold_of
from tracker.store.cues import open_cues
from tracker.web import cautions, servicetable, serviceview
from tracker.web.serviceview import Subject
from tracker.words import say


def services(args: Namespace) -> None:
    """Tell the first line of the page, the watches in need with their reasons, and all of them in a table."""
    with opened(args) as collection:
        found = _subjects(collection)
        if args.json:
            write([_values(each) for each in servicetable.rows(found, servicetable.Wanted())])
        else:
            _tell(found, collection, bench=args.bench)


def _subjects(collection: Opened) -> list[Subject]:
    figures = collection.figures()
    cues = open_cues(collection.store.reading(), [each.watch.uid for each in figures])
    return serviceview.subjects(figures, cues, preferences(collection.store).values, collection.now)


def _tell(found: Sequence[Subject], collection: Opened, *, bench: bool) -> None:
    settings, now, zone = preferences(collection.store).values, collection.now, collection.zone
    tell(serviceview.first_line(found, now, zone))
    for each in serviceview.in_need(found):
        told = [serviceview.why(each, settings), serviceview.evidence(each, zone)]
        for pattern in serviceview.patterns(each, zone, bench=bench):
            told += [pattern.seen, pattern.suggests, pattern.settles]
        told.append(serviceview.rule(each, settings, now, zone))
        tell(f"\n{each.nickname}: {say(serviceview.WORDS[each.word])}")
        tell(f"  {' '.join(part for part in told if part)}")
    if found:
        tell(f"\n{servicewords.seldom()} {' '.join(cautions.before_opening())}\n")
        heads = servicetable.headers(servicewords.percent(threshold_of(settings)))
        show([[label for _, label in heads], *(_row(each, collection) for each in _ordered(found))])


def _ordered(found: Sequence[Subject]) -> list[Subject]:
    return servicetable.rows(found, servicetable.Wanted())


def _row(each: Subject, collection: Opened) -> list[str]:
    said = servicetable.cells(each, collection.now, collection.zone)
    return [each.nickname, said.word, said.lost, said.reached, said.years, said.due, said.evidence]


def _values(each: Subject) -> dict[str, Any]:
    """One watch for other programs; shares are parts of one, years those since the service, dates ISO 8601."""
    seen, cue = each.finding, each.cue
    return {
        "uid": each.each.watch.uid,
        "watch": each.nickname,
        "found": each.word,
        "step": cue.cue.step if cue else None,
        "quiet_until": cue.cue.quiet_until.isoformat() if cue and cue.cue.quiet_until else None,
        "evidence": {
            "enough": seen.evidence == "enough",
            "stops": seen.stops,
            "at_most": seen.at_most,
            "at_least": seen.going,
            "low_amplitude_deg": seen.low_amplitude.value if seen.low_amplitude else None,
        },
        "lost": asdict(seen.lost),
        "probability": {"once": seen.falls.once, "twice": seen.falls.twice, "below_least": seen.falls.below},
        "sudden_probability": seen.sudden_probability,
        "threshold_reached": _dates(seen.reached),
        "least_reached": _dates(seen.least),
        "years": seen.years,
        "serviced": seen.serviced,
        "due_at": seen.due_at.isoformat() if seen.due_at else None,
        "next_due": _due(each.next_due.first),
        "patterns": [type(pattern).__name__ for pattern in seen.patterns],
    }


def _due(first: Due | None) -> dict[str, Any] | None:
    if first is None:
        return None
    at, high = (each.isoformat() if each else None for each in (first.at, first.high))
    return {"by": first.by, "low": first.low.isoformat(), "at": at, "high": high}


def _dates(told: Forecast | None) -> dict[str, Any] | None:
    if told is None:
        return None
    mid, high = (each.isoformat() if each else None for each in (told.mid, told.high))
    return {"chance": told.chance, "low": told.low.isoformat(), "mid": mid, "high": high}


def known(args: Namespace) -> None:
    """Note that the owner knows of the cues of these watches."""
    with opened(args) as collection:
        watches = watches_meant(collection, args.names)
        fields = {} if args.months is None else {"months": args.months}
        commands = [build(AcknowledgeCue, {"watch_uid": watch.uid, **fields}) for watch in watches]
        when = phrases.day(months_on(collection.now, commands[0].months), collection.now, collection.zone)
        names = ", ".join(watch.nickname for watch in watches)
        collection.change(commands, say("{names}: known; it asks again {when}.", names=names, when=when))
