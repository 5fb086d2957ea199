"""What each command of `going` takes."""

from argparse import ArgumentParser, ArgumentTypeError
from typing import Any, get_args

from tracker.cli.numbers import broker, port
from tracker.config import HOST, PORT
from tracker.core.timing import Occasion
from tracker.core.watch import Habit, Indicator, Reach, ReserveClass, Stake, WinderWay, WoundBy
from tracker.words import say

MOST_DAYS = 60
"""A plan further ahead would rest on windings that nobody has made."""
KINDS = ("watches", "log")


def _names(parser: ArgumentParser) -> None:
    parser.add_argument(
        "names",
        metavar="NAME",
        nargs="+",
        help=say("a nickname, or a beginning that fits one watch only; in quotes if it has spaces"),
    )


def _at(parser: ArgumentParser) -> None:
    told = say("when: 07:30 (the latest one past), “this morning”, “last night”, or 2026-11-25T07:30; now if left out")
    parser.add_argument("--at", metavar="WHEN", help=told)


def _showing(parser: ArgumentParser) -> None:
    parser.add_argument("--showing", metavar="4:37", help=say("the time on the hands of the stopped watch"))


def _photo(parser: ArgumentParser) -> None:
    told = say("a photograph of the stopped dial, to be read later on its page")
    parser.add_argument("--photo", metavar="FILE", help=told)


def _side_spring(parser: ArgumentParser) -> None:
    told = say("the chronograph ran or the alarm rang since the last winding")
    parser.add_argument("--side-spring", action="store_true", help=told)


def wound(parser: ArgumentParser) -> None:
    _names(parser)
    state = parser.add_mutually_exclusive_group()
    state.add_argument(
        "--was-going",
        dest="found",
        action="store_const",
        const="going",
        default="not noticed",
        help=say("it was going"),
    )
    state.add_argument("--had-stopped", dest="found", action="store_const", const="stopped", help=say("it had stopped"))
    _showing(parser)
    _photo(parser)
    hands = parser.add_mutually_exclusive_group()
    hands.add_argument(
        "--set", dest="hands", action="store_const", const="set now", help=say("the hands were set right")
    )
    hands.add_argument(
        "--not-set", dest="hands", action="store_const", const="not set", help=say("the hands were not set")
    )
    amount = parser.add_mutually_exclusive_group()
    amount.add_argument(
        "--part", dest="amount", action="store_const", const="part", default="full", help=say("wound in part only")
    )
    amount.add_argument(
        "--unsure", dest="amount", action="store_const", const="unsure", help=say("how far it was wound is not sure")
    )
    parser.add_argument("--turns", metavar="N", help=say("the turns of the crown it was given"))
    _side_spring(parser)
    _at(parser)


def seen(parser: ArgumentParser) -> None:
    _names(parser)
    parser.add_argument("--reading", metavar="N", help=say("what its reserve indicator shows: 0 to 1, or hours"))
    _side_spring(parser)
    _at(parser)


def stopped(parser: ArgumentParser) -> None:
    _names(parser)
    _showing(parser)
    _photo(parser)
    parser.add_argument("--on-purpose", action="store_true", help=say("it was stopped on purpose"))
    _side_spring(parser)
    _at(parser)


def worn(parser: ArgumentParser) -> None:
    _names(parser)
    parser.add_argument("--down", action="store_true", help=say("it was laid down, not put on"))
    _at(parser)


def winder(parser: ArgumentParser) -> None:
    _names(parser)
    parser.add_argument("--off", action="store_true", help=say("it was taken off, not put on"))
    told = say("the turns it gets there a day, in the directions that wind it")
    parser.add_argument("--turns-a-day", metavar="N", help=told)
    _at(parser)


def reading(parser: ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help=say("a nickname, or a beginning that fits one watch only"))
    _text(parser, "--position", "position", "POSITION", say("by ISO 3158: CH, CB, 3H, 6H, 9H, 12H"))
    _text(parser, "--rate", "rate_s_per_day", "SECONDS", say("its rate, seconds a day; plus is fast"))
    _text(parser, "--amplitude", "amplitude_deg", "DEGREES", say("its amplitude"))
    _text(parser, "--beat-error", "beat_error_ms", "MS", say("its beat error, milliseconds"))
    _text(parser, "--since-wind", "since_wind_min", "MINUTES", say("minutes since it was fully wound"))
    _choice(parser, "--occasion", "occasion", Occasion, say("when it was read"))
    _text(parser, "--lift-angle", "lift_angle_deg", "DEGREES", say("the lift angle it was read with"))
    _text(parser, "--vibrations", "vibrations_per_hour", "N", say("beats an hour it was read at"))
    _text(parser, "--temperature", "temperature_c", "DEGREES", say("the temperature, Celsius"))
    _text(parser, "--programme-day", "programme_day", "N", say("the day of the programme of ISO 3159, 1 to 15"))
    _at(parser)


def rundown(parser: ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help=say("a nickname, or a beginning that fits one watch only"))
    _choice(parser, "--occasion", "occasion", Occasion, say("what the test is for"))
    _text(parser, "--end", "end", "REASON", say("break the present test off, for this reason"))
    _at(parser)


def readings(parser: ArgumentParser) -> None:
    _names(parser)
    parser.add_argument("--json", action="store_true", help=say("answer in JSON"))


def _word(typed: str) -> str:
    return typed.strip().casefold().replace("-", " ")


def _choice(parser: ArgumentParser, option: str, field: str, words: Any, told: str) -> None:
    choices = get_args(words)
    help_ = say("{told}: {words}", told=told, words=", ".join(say(word) for word in choices))
    parser.add_argument(option, dest=field, metavar="WORD", type=_word, choices=choices, help=help_)


def _text(parser: ArgumentParser, option: str, field: str, metavar: str, told: str) -> None:
    parser.add_argument(option, dest=field, metavar=metavar, help=told)


def add(parser: ArgumentParser) -> None:
    parser.add_argument(
        "names", metavar="NICKNAME", nargs="+", help=say("what you call it; in quotes if it has spaces")
    )
    state = parser.add_mutually_exclusive_group()
    state.add_argument("--going", dest="seen", action="store_const", const="going", help=say("it is going now"))
    state.add_argument("--stopped", dest="seen", action="store_const", const="stopped", help=say("it stands now"))
    _text(parser, "--reserve", "stated_reserve_h", "HOURS", say("the reserve its maker states"))
    _choice(parser, "--reserve-class", "reserve_class", ReserveClass, say("or what kind of reserve it has"))
    _text(
        parser,
        "--least-reserve",
        "least_reserve_h",
        "HOURS",
        say("the going time under which you would have it seen to"),
    )
    _choice(parser, "--wound-by", "wound_by", WoundBy, say("how it is wound"))
    _text(parser, "--turns-to-full", "crown_turns_to_full", "N", say("turns of the crown from empty to full"))
    _choice(parser, "--habit", "habit", Habit, say("how you mean to keep it"))
    _text(parser, "--weekdays", "habit_weekdays", "DAYS", say("wind it on these, such as Mon,Thu"))
    _text(
        parser,
        "--every",
        "habit_every_days",
        "N",
        say("wind it every so many days; with the habit at rest: let it run as often"),
    )
    _choice(parser, "--stake", "stake", Stake, say("what a stop costs"))
    _choice(parser, "--indicator", "indicator", Indicator, say("what its reserve indicator shows"))
    parser.add_argument(
        "--dial",
        dest="dial_hours",
        metavar="HOURS",
        choices=("12", "24"),
        help=say("hours for one turn of the hour hand: 12, 24"),
    )
    parser.add_argument("--date-window", action="store_const", const=True, help=say("it shows the date"))
    parser.add_argument("--screw-down-crown", action="store_const", const=True, help=say("its crown screws down"))
    told = say("offer looks that would tell much of its reserve, though it stops for them")
    parser.add_argument("--offer-looks", dest="looks_offered", action="store_const", const=True, help=told)
    _text(parser, "--winder-turns", "winder_turns_a_day", "N", say("turns of a winder a day that keep it going"))
    _choice(parser, "--winder-way", "winder_way", WinderWay, say("the directions of a winder that wind it"))
    _text(parser, "--winder-pause", "winder_pause_h", "HOURS", say("the longest pause of its winder's programme"))
    _text(parser, "--wear-fills", "wear_fills_h", "HOURS", say("wear that winds it from stopped to full"))
    _text(parser, "--place", "place", "TEXT", say("where it lies"))
    _choice(parser, "--reach", "reach", Reach, say("whether you can get at it there"))
    _text(parser, "--belongs-to", "belongs_to", "TEXT", say("whose it is, if not yours"))
    _text(parser, "--job-number", "job_number", "TEXT", say("the job, for a customer's watch"))
    _text(parser, "--customer", "customer", "WHO", say("a customer's watch: whose it is; give --job-number, too"))
    _text(parser, "--came-in", "came_in", "DATE", say("when a customer's watch came in, such as 2026-11-20"))
    _text(parser, "--promised", "promised_for", "DATE", say("for when it is promised"))
    _text(parser, "--went-out", "went_out", "DATE", say("when it went out"))
    _text(parser, "--service-every", "service_every_years", "YEARS", say("years between its services"))
    _text(parser, "--service-due", "service_due_on", "DATE", say("or the day its next service is due"))
    _text(parser, "--calibre", "calibre", "TEXT", say("its movement"))
    _text(parser, "--vibrations", "vibrations_per_hour", "N", say("beats an hour"))
    _text(parser, "--lift-angle", "lift_angle_deg", "DEGREES", say("the lift angle of its movement"))
    _text(parser, "--other-springs", "other_springs", "TEXT", say("springs to be wound beside the going one"))
    _text(parser, "--setting-details", "setting_details", "TEXT", say("what to mind when setting it"))
    _text(parser, "--note", "note", "TEXT", say("anything else"))
    _text(parser, "--value", "value", "TEXT", say("what it is worth; for your eyes only"))
    _text(parser, "--serial", "serial", "TEXT", say("its number; for your eyes only"))


def attach(parser: ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help=say("the watch: a nickname, or a beginning that fits one only"))
    parser.add_argument("file", metavar="FILE", help=say("a JPEG, PNG, WebP or PDF file"))
    parser.add_argument("--to-service", action="store_true", help=say("it goes with the newest service of the watch"))
    _text(parser, "--title", "title", "TEXT", say("what it is; its name if left out"))


def handback(parser: ArgumentParser) -> None:
    _names(parser)
    parser.add_argument(
        "--on", dest="went_out", metavar="DATE", help=say("the day, such as 2026-11-24; today if left out")
    )


def _kind(parser: ArgumentParser) -> None:
    told = say("what the file holds: the watches, or the log; or all: a folder with all of the collection")
    parser.add_argument("--kind", choices=(*KINDS, "all"), required=True, help=told)


def export(parser: ArgumentParser) -> None:
    _kind(parser)
    told = say("the file to write, the screen if left out; of all, the folder")
    parser.add_argument("file", metavar="FILE", nargs="?", help=told)
    parser.add_argument("--json", action="store_true", help=say("write all as JSON, not as a CSV file a table"))
    parser.add_argument("--with-private", action="store_true", help=say("write value and serial too"))


def import_(parser: ArgumentParser) -> None:
    _kind(parser)
    told = say("a CSV file in UTF-8; - reads what is piped in; of all, the folder that was written")
    parser.add_argument("file", metavar="FILE", help=told)
    aside = say("of all: put aside what is in the folder of the collection, under another name beside it")
    parser.add_argument("--replace", action="store_true", help=aside)
    parser.add_argument(
        "--dry-run", action="store_true", help=say("tell what would be taken in and what not; change nothing")
    )


def nothing(_: ArgumentParser) -> None:
    pass


def _broker(parser: ArgumentParser) -> None:
    broker(parser, say("start a broker for sensors on this machine too; for a first try"))


def listen(parser: ArgumentParser) -> None:
    _broker(parser)


def serve(parser: ArgumentParser) -> None:
    _broker(parser)
    _address(parser, None)
    home = say("serve to the home, too: phones and machines in the same network, with a password")
    parser.add_argument("--home", action="store_true", help=home)


def _address(parser: ArgumentParser, host: str | None = HOST) -> None:
    parser.add_argument("--host", default=host, help=say("the address to serve on ({host} if left out)", host=HOST))
    parser.add_argument(
        "--port", type=port, default=PORT, help=say("the port to serve on ({port} if left out)", port=PORT)
    )


def demo(parser: ArgumentParser) -> None:
    _address(parser)
    parser.add_argument("--reset", action="store_true", help=say("throw away what was entered and begin anew"))


def reserve(parser: ArgumentParser) -> None:
    parser.add_argument(
        "names", metavar="NAME", nargs="*", help=say("only these watches; without any, all of the collection")
    )
    asked = parser.add_mutually_exclusive_group()
    asked.add_argument("--form", action="store_true", help=say("write the evidence of one watch as a file form"))
    asked.add_argument("--explain", action="store_true", help=say("tell of each watch named how its figures are known"))
    asked.add_argument("--from", dest="file", metavar="FILE.json", help=say("answer a file form, without a collection"))
    parser.add_argument("--json", action="store_true", help=say("answer in JSON"))


def spans(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--from", dest="file", metavar="FILE.jsonl", required=True, help=say("a set-up, then one reading a line")
    )
    parser.add_argument("--json", action="store_true", help=say("answer in JSON"))


def barrel(parser: ArgumentParser) -> None:
    parser.add_argument("name", metavar="WATCH", nargs="?", help=say("a watch whose barrel is kept"))
    parser.add_argument(
        "--set",
        metavar="NAME=VALUE",
        action="append",
        help=say("keep a field of it, or forget it: length_mm=350, note="),
    )
    parser.add_argument("--from", dest="file", metavar="FILE.json", help=say("drum, arbor, strip and train"))
    parser.add_argument("--json", action="store_true", help=say("answer in JSON"))


def _days(typed: str) -> int:
    if not typed.isascii() or not typed.isdigit() or not 0 < int(typed) <= MOST_DAYS:
        raise ArgumentTypeError(
            say("“{typed}” is no number of days; give one from 1 to {most}", typed=typed, most=MOST_DAYS)
        )
    return int(typed)


def rounds(parser: ArgumentParser) -> None:
    asked = parser.add_mutually_exclusive_group()
    asked.add_argument("--from", dest="file", metavar="FILE.json", help=say("answer a file form, without a collection"))
    asked.add_argument("--days", type=_days, default=14, metavar="N", help=say("plan so many days (14)"))
    asked.add_argument("--move", metavar="WATCH", help=say("wind this watch in another round than it is planned for"))
    parser.add_argument("--to", metavar="ROUND", help=say("the round: 2026-11-27T07:30; “plan” leaves it to the plan"))
    parser.add_argument("--json", action="store_true", help=say("answer in JSON"))


def away(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--from", dest="leave", metavar="WHEN", required=True, help=say("when you leave: 2026-11-27T10:00")
    )
    parser.add_argument("--to", dest="back", metavar="WHEN", required=True, help=say("when you are back"))
    parser.add_argument("--taking", metavar="NAME", nargs="+", default=[], help=say("these watches travel along"))
    parser.add_argument(
        "--every", type=_days, metavar="N", help=say("someone comes by to wind every so many days after you leave")
    )
    parser.add_argument("--at", metavar="TIME", default="10:00", help=say("when they come (10:00 if left out)"))
    parser.add_argument("--keep", action="store_true", help=say("keep it: reminders stand still until you are back"))
    parser.add_argument("--json", action="store_true", help=say("answer in JSON"))


def services(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--bench", action="store_true", help=say("say what to look at next, not what to ask a watchmaker")
    )
    parser.add_argument("--json", action="store_true", help=say("answer in JSON"))


def serviced(parser: ArgumentParser) -> None:
    _names(parser)
    _text(parser, "--occasion", "occasion", "TEXT", say("what it was for, in your words"))
    _text(parser, "--done", "work_done", "TEXT", say("what was done to it"))
    parser.add_argument(
        "--part",
        dest="parts",
        metavar="PART",
        action="append",
        default=[],
        help=say(
            "a part, once for each; a spring with what was there and what is: “mainspring: 1.3 × 0.115 × 350 > 1.3 × 0.11 × 360”"
        ),
    )
    _text(parser, "--lubricants", "lubricants", "TEXT", say("what it was oiled and greased with"))
    _text(parser, "--by", "done_by", "TEXT", say("who did it"))
    _text(parser, "--cost", "cost", "TEXT", say("what it cost"))
    _at(parser)


def known(parser: ArgumentParser) -> None:
    _names(parser)
    parser.add_argument("--months", metavar="N", help=say("ask again in so many months; 3 if left out"))
