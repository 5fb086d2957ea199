"""Numbers on the command line, in bounds."""

from argparse import ArgumentTypeError
from collections.abc import Callable

from tracker.words import say


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
