"""What `going simulate` takes."""

from argparse import ArgumentParser
from collections.abc import Callable

from tracker.cli.numbers import between, broker
from tracker.words import say

MOST_SENSORS = 1000

_SHARES = {
    "lost": "this share of the messages is lost (0 to 1)",
    "doubled": "this share of them comes twice",
    "late": "this share of them comes up to two hours late, and so out of order",
    "neighbours": "in this share of the readings of a still watch another one is heard",
}
_A_WEEK = {
    "outages": "so often a week a sensor is cut off, for up to twelve hours",
    "lifted": "so often a week a watch is lifted and put back",
    "swaps": "so often a week two watches change places",
    "resets": "so often a week a seat loses power, and its counter begins at 0 again",
}


def simulate(parser: ArgumentParser) -> None:
    """The sensors, the time, what goes wrong, and where to."""
    number, amount = between(0, MOST_SENSORS, int), between(0.0, 100_000.0, float)
    parser.add_argument(
        "--watches", type=number, default=3, metavar="N", help=say("so many watches on rest sensors (3)")
    )
    parser.add_argument("--seats", type=number, default=1, metavar="N", help=say("so many seats of a winder box (1)"))
    parser.add_argument("--seed", default="1", metavar="TEXT", help=say("the same seed, the same messages (1)"))
    parser.add_argument("--hours", type=amount, default=24.0, metavar="H", help=say("go on for so many hours (24)"))
    told = say("begin so many hours ago, 24 at most: what is past goes out at once, stamped (0)")
    parser.add_argument("--past", type=between(0.0, 24.0, float), default=0.0, metavar="H", help=told)
    told = say("seconds from one message of a sensor to the next (60)")
    parser.add_argument("--every", type=between(0.1, 86_400.0, float), default=60.0, metavar="S", help=told)
    parser.add_argument("--topic", default="sim", metavar="TOPIC", help=say("topics begin with this (sim)"))
    parser.add_argument("--truth", metavar="FILE.json", help=say("write what is true, and the set-up of each sensor"))
    broker(parser, say("send to our own broker instead of the one that is named"))
    _faults(parser, amount)


def _faults(parser: ArgumentParser, amount: Callable[[str], float]) -> None:
    wrong = parser.add_argument_group(say("what goes wrong"))
    for name, told in _SHARES.items():
        wrong.add_argument(f"--{name}", type=between(0.0, 1.0, float), default=0.0, metavar="SHARE", help=say(told))
    for name, told in _A_WEEK.items():
        wrong.add_argument(f"--{name}", type=amount, default=0.0, metavar="N", help=say(told))
    told = say("the sensors' clocks are wrong by up to so many seconds")
    wrong.add_argument("--skew", type=amount, default=0.0, metavar="S", help=told)
    wrong.add_argument(
        "--decline",
        type=between(0.0, 0.9, float),
        default=0.0,
        metavar="SHARE",
        help=say("the watches lose this share of their reserve a year"),
    )
    wrong.add_argument("--fails", type=amount, metavar="H", help=say("the first seat stands still after so many hours"))
    wrong.add_argument("--leftover", action="store_true", help=say("an old retained message lies on each topic"))
