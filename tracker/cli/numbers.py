"""Numbers on the command line, in bounds; ports among them."""

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable

from tracker.words import say

LAST_PORT = 65_535
BROKER_PORT = 1883
"""The port of MQTT by the registry of the Internet's numbers (IANA)."""


def between(least: float, most: float, kind: type[int] | type[float]) -> Callable[[str], float]:
    """What takes a number in these bounds, both included, from what was typed."""

    def read(typed: str) -> float:
        try:
            value = kind(typed)
        except ValueError:
            value = kind(-1)
        if not least <= value <= most:
            raise ArgumentTypeError(
                say(
                    "“{typed}” can't be taken; give a number from {least:g} to {most:g}",
                    typed=typed,
                    least=least,
                    most=most,
                )
            )
        return value

    return read


def port(typed: str) -> int:
    """A port of this machine; 0 is a free one."""
    if not typed.isascii() or not typed.isdigit() or int(typed) > LAST_PORT:
        raise ArgumentTypeError(
            say("“{typed}” is not a port; give a number from 0 to {last}", typed=typed, last=LAST_PORT)
        )
    return int(typed)


def broker(parser: ArgumentParser, told: str) -> None:
    """`--broker`, with a port or without one."""
    told = say("{told} (port {port} if left out)", told=told, port=BROKER_PORT)
    parser.add_argument("--broker", metavar="PORT", nargs="?", type=port, const=BROKER_PORT, help=told)
