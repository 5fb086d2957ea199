"""Timing readings on the command line."""

from argparse import Namespace
from dataclasses import asdict

from tracker import readingphrases
from tracker.cli.forms import write
from tracker.cli.moments import moment, said_back
from tracker.cli.names import watches_meant
from tracker.cli.opened import opened, tell
from tracker.commands.build import build
from tracker.commands.log import LogReading
from tracker.core.chronometer import daily_rates, seven_figures
from tracker.core.timing import Reading, newest_sitting, summary
from tracker.store.readings import readings as read
from tracker.words import say

FIELDS = (
    "position",
    "rate_s_per_day",
    "amplitude_deg",
    "beat_error_ms",
    "since_wind_min",
    "lift_angle_deg",
    "vibrations_per_hour",
    "temperature_c",
    "programme_day",
)


def reading(args: Namespace) -> None:
    """Note one timing reading."""
    fields = {name: getattr(args, name) for name in FIELDS if getattr(args, name) is not None}
    with opened(args) as collection:
        watch = watches_meant(collection, [args.name])[0]
        meant = moment(args.at, collection)
        time = {"at": meant.at, "zone": meant.zone_name, "within_min": meant.within_min}
        occasion = {"occasion": args.occasion} if args.occasion else {}
        command = build(LogReading, {**fields, **occasion, **time, "watch_uid": watch.uid})
        where = readingphrases.position(command.position)
        when = said_back(args.at, meant, collection)
        collection.change(
            [command], say("{nickname}: read {where}, {when}.", nickname=watch.nickname, where=where, when=when)
        )


def readings(args: Namespace) -> None:
    """Tell what the newest readings of each watch come to."""
    with opened(args) as collection:
        watches = watches_meant(collection, args.names)
        found = read(collection.store.reading(), [watch.uid for watch in watches])
        told = {watch.nickname: newest_sitting(found.get(watch.uid, [])) for watch in watches}
        if args.json:
            write([{"watch": name, **asdict(summary(sitting))} for name, sitting in told.items()])
            return
        for watch in watches:
            sitting = told[watch.nickname]
            tell(readingphrases.first_line(watch.nickname, summary(sitting) if sitting else None))
            if sitting:
                _tell_states(sitting)
            _tell_programme(found.get(watch.uid, []))


def _tell_states(sitting: list[Reading]) -> None:
    found = summary(sitting)
    for head, state in ((say("At full wind"), found.full), (say("After 24 h"), found.day)):
        tell(f"  {head}")
        for label, figure in readingphrases.facts(state):
            tell(f"    {label}: {figure}")
    tell(f"  {say('Isochronism, after 24 h less full wind')}: {readingphrases.seconds(found.isochronism)}")
    for sentence in readingphrases.judged(found):
        tell(f"  {sentence}")


def _tell_programme(found: list[Reading]) -> None:
    rates = daily_rates(found)
    if rates:
        tell(f"  {say('The seven figures of ISO 3159; not a certificate')}")
        for each in seven_figures(rates):
            tell(f"    {readingphrases.criterion(each)}: {readingphrases.value(each)}")
