"""The commands of `going`: names, what they take, an example, and the function that does each."""

from argparse import ArgumentParser
from collections.abc import Callable
from dataclasses import dataclass

from tracker.cli import channeloptions, options, peopleoptions, safeoptions, sensoroptions, simulateoptions


@dataclass(frozen=True, slots=True)
class Verb:
    """One command. `run` names its function, imported only when it is called."""

    name: str
    help: str
    example: str
    run: str
    arguments: Callable[[ArgumentParser], None]


VERBS = (
    Verb(
        "wound",
        "Note that watches were wound.",
        "going wound Night Tray --was-going --at 07:30",
        "tracker.cli.daily:wound",
        options.wound,
    ),
    Verb("seen", "Note that watches were seen going.", "going seen Night", "tracker.cli.daily:seen", options.seen),
    Verb(
        "stopped",
        "Note that watches were found stopped.",
        "going stopped Night --showing 4:37",
        "tracker.cli.daily:stopped",
        options.stopped,
    ),
    Verb(
        "worn",
        "Note that watches were put on or laid down.",
        "going worn Night --down --at 22:15",
        "tracker.cli.daily:worn",
        options.worn,
    ),
    Verb(
        "winder",
        "Note that watches were put on a winder or taken off it.",
        "going winder Tide --turns-a-day 650",
        "tracker.cli.daily:winder",
        options.winder,
    ),
    Verb(
        "serviced",
        "Note that watches came back from service.",
        'going serviced Night --at 2026-11-20 --done "cleaned, new mainspring"',
        "tracker.cli.servicing:serviced",
        options.serviced,
    ),
    Verb(
        "attach",
        "Keep a photograph or a PDF with a watch or its newest service.",
        "going attach Night bill.pdf --to-service",
        "tracker.cli.servicing:attach",
        options.attach,
    ),
    Verb(
        "reading",
        "Note a timing reading: rate, amplitude, beat error in a position.",
        "going reading Night --position CH --rate 4.2 --amplitude 285 --since-wind 30",
        "tracker.cli.timing:reading",
        options.reading,
    ),
    Verb(
        "readings",
        "Tell what the timing readings of watches come to.",
        "going readings Night",
        "tracker.cli.timing:readings",
        options.readings,
    ),
    Verb(
        "bench",
        "Tell the run-down tests that go on, and when to look next.",
        "going bench",
        "tracker.cli.bench:bench",
        options.nothing,
    ),
    Verb(
        "rundown",
        "Wind a watch fully and begin a run-down test, or break one off.",
        "going rundown Night --occasion after-service",
        "tracker.cli.bench:rundown",
        options.rundown,
    ),
    Verb("undo", "Take back your newest change.", "going undo", "tracker.cli.undoing:undo", options.nothing),
    Verb(
        "list",
        "Tell how every watch stands and by when to wind it.",
        "going list",
        "tracker.cli.listing:list_watches",
        options.nothing,
    ),
    Verb(
        "services",
        "Tell which watch to open next, and why.",
        "going services --bench",
        "tracker.cli.services:services",
        options.services,
    ),
    Verb(
        "known",
        "Say that you know of a watch's cue; it asks again later.",
        "going known Workshop --months 3",
        "tracker.cli.services:known",
        options.known,
    ),
    Verb(
        "add",
        "Register watches.",
        'going add "Night ferry" --reserve 42 --habit keep-going',
        "tracker.cli.adding:add",
        options.add,
    ),
    Verb(
        "handback",
        "Note that customers' watches went out.",
        "going handback Regulator --on 2026-11-24",
        "tracker.cli.adding:hand_back",
        options.handback,
    ),
    Verb(
        "export",
        "Write the watches or the log as a CSV file.",
        "going export --kind log log.csv",
        "tracker.cli.files:export",
        options.export,
    ),
    Verb(
        "import",
        "Take in watches or log entries from a CSV file, all or none.",
        "going import log.csv --kind log --dry-run",
        "tracker.cli.files:import_",
        options.import_,
    ),
    Verb(
        "backup",
        "Write one archive with all of the collection, also while it is in use.",
        "going backup watches.zip",
        "tracker.cli.backups:backup",
        safeoptions.backup,
    ),
    Verb(
        "restore",
        "Put the collection of a backup in its place; what was there is kept aside.",
        "going restore watches.zip --replace",
        "tracker.cli.backups:restore",
        safeoptions.restore,
    ),
    Verb(
        "check",
        "Look for damage and for what does not fit together; changes nothing.",
        "going check --json",
        "tracker.cli.checks:check",
        safeoptions.as_json,
    ),
    Verb(
        "doctor",
        "Look at what the program needs around it: clock, disk, broker, channels, backups, port.",
        "going doctor --port 8123",
        "tracker.cli.checks:doctor",
        safeoptions.doctor,
    ),
    Verb(
        "recompute",
        "Work out everything anew from the log.",
        "going recompute",
        "tracker.cli.running:recompute",
        options.nothing,
    ),
    Verb(
        "serve",
        "Serve your collection's pages, on this machine or to the home.",
        "going serve --home",
        "tracker.cli.running:serve",
        options.serve,
    ),
    Verb(
        "listen",
        "Listen to your collection's sensors, without serving pages.",
        "going listen",
        "tracker.cli.running:listen",
        options.listen,
    ),
    Verb(
        "demo",
        "Serve an example collection, in a folder of its own.",
        "going demo --reset",
        "tracker.cli.running:demo",
        options.demo,
    ),
    Verb(
        "reserve",
        "Tell the reserves, or work one out from a file.",
        "going reserve Night --form",
        "tracker.cli.forms:reserve",
        options.reserve,
    ),
    Verb(
        "round",
        "Plan in which rounds each watch is wound.",
        "going round --days 7",
        "tracker.cli.forms:rounds",
        options.rounds,
    ),
    Verb(
        "away",
        "Tell what happens to your watches while you are away.",
        "going away --from 2026-12-04T10:00 --to 2026-12-08T18:00",
        "tracker.cli.away:away",
        options.away,
    ),
    Verb(
        "back",
        "Say that you are back, earlier than was kept.",
        "going back",
        "tracker.cli.away:back",
        options.nothing,
    ),
    Verb(
        "channel",
        "Set up the ways by which reminders reach you, and try them out.",
        "going channel add Phone < address.txt",
        "tracker.cli.channel:channel",
        channeloptions.channel,
    ),
    Verb(
        "person",
        "Tell who may come in; add people, give them another role, remove them.",
        "going person add Grete --role helper",
        "tracker.cli.people:person",
        peopleoptions.person,
    ),
    Verb(
        "password",
        "Set a password; it is asked for, or read from the input.",
        "going password --person Grete",
        "tracker.cli.people:password",
        peopleoptions.password,
    ),
    Verb(
        "token",
        "Make, tell and end tokens by which programs come in.",
        'going token add "kitchen display" --scope read --days 365',
        "tracker.cli.people:token",
        peopleoptions.token,
    ),
    Verb(
        "renew",
        "Give secrets anew: what was handed out before opens nothing any more.",
        "going renew links",
        "tracker.cli.people:renew",
        peopleoptions.renew,
    ),
    Verb(
        "sensor",
        "Set up sensors, try them out, and note which watch lies on which.",
        "going sensor add tray-3 --topic house/tray/3 --expected 60 --watch Night",
        "tracker.cli.sensor:sensor",
        sensoroptions.sensor,
    ),
    Verb(
        "simulate",
        "Publish as real sensors would, to see what is made of it.",
        "going simulate --watches 5 --past 12 --lost 0.05 --truth truth.json",
        "tracker.cli.simulating:simulate",
        simulateoptions.simulate,
    ),
    Verb(
        "spans",
        "Tell when a watch was going, from the readings of a rest sensor.",
        "going spans --from readings.jsonl --json",
        "tracker.cli.forms:spans",
        options.spans,
    ),
    Verb(
        "barrel",
        "Tell what a mainspring in its barrel ought to give: turns, torque, hours.",
        "going barrel night --set thickness_mm=0.115",
        "tracker.cli.barrels:barrel",
        options.barrel,
    ),
)
