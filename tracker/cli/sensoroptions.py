"""What `going sensor` takes, act by act."""

from argparse import ArgumentParser, BooleanOptionalAction, _SubParsersAction
from typing import get_args

from sensors.counter import Told
from sensors.payload import Written
from sensors.sensor import SensorKind
from tracker.cli.numbers import between, broker
from tracker.words import say

REPORTS = ("boolean", "level", "beats", "counter", "increments", "turning", "power")
TEXTS = (
    ("--value-at", "value_at", "POINTER", "where in a JSON message the value stands, such as /s/tick"),
    ("--time-at", "time_at", "POINTER", "where its time stands; without it the arrival counts"),
    ("--direction-at", "direction_at", "POINTER", "where a word for the direction stands"),
    ("--record", "record", "NAME", "the full name of the SenML record"),
    ("--going-words", "going_words", "WORDS", "words for going, with commas between"),
    ("--stopped-words", "stopped_words", "WORDS", "words for stopped"),
    ("--clockwise-words", "clockwise_words", "WORDS", "words for clockwise"),
    ("--anticlockwise-words", "anticlockwise_words", "WORDS", "words for anticlockwise"),
    ("--upper", "upper", "N", "above this level it is going"),
    ("--lower", "lower", "N", "below this level it has stopped"),
    ("--vibrations", "vibrations_per_hour", "N", "beats an hour, if not those of the watch"),
    ("--tolerance", "tolerance", "N", "how far a count of beats may be off, as a fraction"),
    ("--window", "window_s", "SECONDS", "the window that beats are counted in"),
    ("--per-turn", "per_turn", "N", "how much of a count is one turn"),
    ("--wraps-at", "wraps_at", "N", "where a counter begins at 0 again"),
    ("--turns-per-min", "turns_per_min", "N", "how fast it turns while it turns"),
    ("--above-w", "above_w", "WATTS", "the power above which it turns"),
    ("--confirm-readings", "confirm_readings", "N", "so many readings must say so before a change counts"),
    ("--confirm", "confirm_s", "SECONDS", "and for so long"),
)


def _act(acts: "_SubParsersAction[ArgumentParser]", name: str, told: str) -> ArgumentParser:
    return acts.add_parser(name, help=told, description=told, epilog="", prog=f"going sensor {name}")


def _set_up(parser: ArgumentParser, *, required: bool) -> None:
    told = say("the topic its messages come under; + and # as in MQTT")
    parser.add_argument("--topic", required=required, help=told)
    told = say("from one message to the next")
    parser.add_argument("--expected", dest="expected_s", required=required, metavar="SECONDS", help=told)
    told = say("a rest sensor, or one seat of a winder; what it reports says so if left out")
    parser.add_argument("--kind", choices=get_args(SensorKind), help=told)
    parser.add_argument("--written", choices=get_args(Written), help=say("how its messages are written"))
    parser.add_argument("--reports", choices=REPORTS, help=say("what a message tells"))
    parser.add_argument("--direction", choices=get_args(Told), help=say("how the direction of turning is told"))
    told = say("a counter that forgets without power")
    parser.add_argument("--restarts-at-zero", action=BooleanOptionalAction, default=None, help=told)
    for option, field, metavar, told in TEXTS:
        parser.add_argument(option, dest=field, metavar=metavar, help=say(told))


def _test(test: ArgumentParser) -> None:
    test.add_argument(
        "name", metavar="NAME", nargs="?", help=say("a sensor; without one, ways to read them are proposed")
    )
    source = test.add_mutually_exclusive_group()
    source.add_argument(
        "--message",
        metavar="FILE",
        help=say("a message a line; - reads what is piped in (so it is if left out)"),
    )
    told = say("listen at the broker to this topic and all below it instead; the sensor's own if left out")
    source.add_argument("--topic", metavar="TOPIC", help=told)
    told = say("listen for so long (60)")
    test.add_argument("--seconds", metavar="N", type=between(0.1, 86_400.0, float), help=told)
    broker(test, say("listen at our own broker instead of the one that is named"))


def sensor(parser: ArgumentParser) -> None:
    """One of several acts, each with what it takes."""
    acts = parser.add_subparsers(metavar="ACT", dest="act", required=True, title=say("acts"))
    add = _act(acts, "add", say("set up a sensor"))
    add.add_argument("name", metavar="NAME", help=say("what you call it"))
    _set_up(add, required=True)
    add.add_argument("--watch", metavar="WATCH", help=say("the watch that lies there now"))
    edit = _act(acts, "edit", say('change how a sensor is set up; what is not given stays, "" takes it away'))
    edit.add_argument("sensor", metavar="NAME", help=say("the sensor"))
    edit.add_argument("--name", metavar="NAME", help=say("what you call it from now on"))
    _set_up(edit, required=False)
    every = _act(acts, "list", say("tell every sensor and what was heard of it"))
    every.add_argument("--json", action="store_true", help=say("answer in JSON"))
    _test(_act(acts, "test", say("tell what its set-up makes of messages, piped in or heard at the broker")))
    _act(acts, "password", say("tell the password with which sensors get in at our own broker"))
    lay = _act(acts, "lay", say("note which watch lies on it"))
    lay.add_argument("name", metavar="NAME", help=say("the sensor"))
    lay.add_argument("watch", metavar="WATCH", help=say("the watch"))
    lay.add_argument("--at", metavar="WHEN", help=say("when, if not just now"))
    off = _act(acts, "take-off", say("note that nothing lies on it any more"))
    off.add_argument("name", metavar="NAME", help=say("the sensor"))
    off.add_argument("--at", metavar="WHEN", help=say("when, if not just now"))
    away = _act(acts, "put-away", say("listen to it no longer"))
    away.add_argument("name", metavar="NAME", help=say("the sensor"))
    back = _act(acts, "bring-back", say("listen again to one that was put away"))
    back.add_argument("name", metavar="NAME", help=say("the sensor"))
