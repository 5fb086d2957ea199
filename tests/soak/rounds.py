"""Two hundred plans of up to sixty watches beside an exact solver: `python -m tests.soak.rounds`."""

import sys

from tests.external.test_rounds_milp import check

CASES = 200
MOST_WATCHES = 60
FIRST_SEED = 1_000
"""Beyond those of the tests."""


def main() -> None:
    """Check them all; the first that differs stops it."""
    for seed in range(FIRST_SEED, FIRST_SEED + CASES):
        check(seed, MOST_WATCHES)
        sys.stderr.write(f"\r{seed - FIRST_SEED + 1} of {CASES} plans equal the solver's")
    sys.stderr.write("\n")


if __name__ == "__main__":
    main()
