"""Months of wear of simulated automatics: how well the hours left are told. `python -m tests.soak.wear [lives]`."""

import sys
from typing import get_args

from tests.core.wearlife import Wearer, followed

LIVES = 300


def main(lives: int = LIVES) -> None:
    """Print, for each kind of wearer, how often hours were told, their band held the truth, their middle was off."""
    for wearer in get_args(Wearer):
        told = followed(wearer, lives)
        print(  # noqa: T201 -- its purpose
            f"{wearer}: {told.moments} layings down, told in {told.known}, within the 90 % band {told.within:.3f}, "
            f"middle off by {told.off_h:.1f} h on average",
            flush=True,
        )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
