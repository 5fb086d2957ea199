"""Run-down tests on the command line: what is on the bench, one begun, one broken off."""

from argparse import Namespace

from tracker.bench import on_test
from tracker.cli.moments import moment, said_back
from tracker.cli.names import watches_meant
from tracker.cli.opened import opened, tell
from tracker.commands.benchtest import EndTest, StartTest
from tracker.commands.build import build
from tracker.commands.log import LogWind
from tracker.errors import NotFound
from tracker.store import benchtests
from tracker.web import benchwords
from tracker.words import say


def bench(args: Namespace) -> None:
    """Tell each test that goes on: what is known, and when to look next."""
    with opened(args) as collection:
        now, zone = collection.now, collection.zone
        tests = on_test(collection.store, now, zone)
        tell(benchwords.first_line(tests, now, zone))
        for one in tests:
            told = [benchwords.begun(one.test, now, zone), benchwords.known(one, now, zone)]
            told += [benchwords.to_do(one, now, zone), benchwords.later(one, now, zone)]
            tell(f"\n{one.each.watch.nickname}")
            tell(f"  {' '.join(part for part in told if part)}")


def rundown(args: Namespace) -> None:
    """Note a full wind with the hands set and begin a test from it; or break the present one off for a reason."""
    with opened(args) as collection:
        watch = watches_meant(collection, [args.name])[0]
        if args.end is not None:
            test = benchtests.running_of(collection.store.reading(), watch.uid)
            if test is None:
                raise NotFound(say("{nickname} is not under test.", nickname=watch.nickname))
            ended = build(EndTest, {"test_uid": test.uid, "reason": args.end})
            collection.change([ended], say("{nickname}: the test is over.", nickname=watch.nickname))
            return
        meant = moment(args.at, collection)
        time = {"at": meant.at, "zone": meant.zone_name, "within_min": meant.within_min}
        wound = build(LogWind, {**time, "watch_uid": watch.uid, "hands": "set now"})
        told = {"occasion": args.occasion} if args.occasion else {}
        begun = build(StartTest, {**told, "watch_uid": watch.uid, "wind_uid": wound.uid})
        when = said_back(args.at, meant, collection)
        collection.change(
            [wound, begun],
            say("{nickname}: wound fully and set {when}, under test.", nickname=watch.nickname, when=when),
        )
