"""Which watch to open next, on the command line; and that one knows of it."""

from argparse import Namespace
from collections.abc import Sequence

from tracker import phrases, servicewords
from tracker.asked import threshold_of
from tracker.cli.forms import write
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.collection import preferences
from tracker.commands.build import build
from tracker.commands.cue import AcknowledgeCue, months_on
from tracker.store.cues import open_cues
from tracker.web import cautions, servicetable, serviceview
from tracker.web.servicevalues import values_of
from tracker.web.serviceview import Subject
from tracker.words import say


def services(args: Namespace) -> None:
    """Tell the first line of the page, the watches in need with their reasons, and all of them in a table."""
    with opened(args) as collection:
        found = _subjects(collection)
        if args.json:
            write([values_of(each) for each in servicetable.rows(found, servicetable.Wanted())])
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


def known(args: Namespace) -> None:
    """Note that the owner knows of the cues of these watches."""
    with opened(args) as collection:
        watches = watches_meant(collection, args.names)
        fields = {} if args.months is None else {"months": args.months}
        commands = [build(AcknowledgeCue, {"watch_uid": watch.uid, **fields}) for watch in watches]
        when = phrases.day(months_on(collection.now, commands[0].months), collection.now, collection.zone)
        names = ", ".join(watch.nickname for watch in watches)
        collection.change(commands, say("{names}: known; it asks again {when}.", names=names, when=when))
