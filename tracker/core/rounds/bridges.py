"""Which rounds can follow each other, and the fewest that do.

To wind a watch in the last open round before its deadline is never worse, so a set of open rounds works if and only if
each pair that follow each other is bridged by every watch already under way. Fewest rounds is a shortest path.
"""

from dataclasses import dataclass

import numpy as np

from tracker.core.rounds.problem import Flags, Indexes, Problem

NOWHERE = 1 << 30


@dataclass(frozen=True, slots=True)
class Network:
    """The rounds on any shortest way from now to the end.

    `follows` (m + 1 × m + 1): from a row (now, then each round) straight to a column (each round, then the end), on such
    a way; `open_before` (m) how many rounds are open before each; `fewest` how many in all.
    """

    follows: Flags
    open_before: Indexes
    fewest: int

    @property
    def useful(self) -> Flags:
        """Which rounds lie on such a way (m)."""
        return np.asarray(self.follows[:, :-1].any(axis=0))


def bridged(given: Problem, margin: int) -> Flags:
    """From each row (now, then each round) straight to each column (each round, then the end): is it allowed?

    A watch is wound at least `margin` microseconds before its deadline, but where it is excused.
    """
    m = len(given.rounds)
    allowed = np.zeros((m + 1, m + 1), dtype=bool)
    done = ~given.asked
    waits = done[:, None] | given.waits(margin)
    deadlines, excused = given.deadlines, given.excused
    carries = (deadlines >= given.end)[:, :, None] | (deadlines[:, :, None] - margin >= given.rounds[None, None, :])
    allowed[1:, :m] = (waits[:, None, :] | carries).all(axis=0)
    allowed[1:, m] = (done[:, None] | (deadlines >= given.end)).all(axis=0)
    allowed[0, :m] = waits.all(axis=0)
    allowed[0, m] = done.all() or m == 0
    if m:
        allowed[0, 0] = (waits[:, 0] | (given.first < given.rounds[0])).all()
        nexts = np.arange(m - 1)
        allowed[1 + nexts, nexts + 1] = (waits[:, 1:] | carries[:, nexts, nexts + 1] | excused[:, :-1]).all(axis=0)
        allowed[m, m] = True
    ahead = np.arange(m + 1)[:, None] <= np.arange(m + 1)[None, :]
    return allowed & ahead


def network(allowed: Flags, always: Flags) -> Network | None:
    """The shortest ways from now to the end that leave out no round of `always` (m); None if there is no way."""
    size = len(allowed)
    allowed = allowed & _leaves_none_out(always)
    ahead = np.full(size + 1, NOWHERE)
    ahead[0] = 0
    for place in range(1, size + 1):
        ahead[place] = min(NOWHERE, int(np.where(allowed[:place, place - 1], ahead[:place], NOWHERE).min()) + 1)
    behind = np.full(size + 1, NOWHERE)
    behind[size] = 0
    for place in range(size - 1, -1, -1):
        behind[place] = min(NOWHERE, int(np.where(allowed[place], behind[1:], NOWHERE).min()) + 1)
    steps = int(ahead[size])
    if steps >= NOWHERE:
        return None
    follows = allowed & (ahead[:-1, None] + 1 + behind[None, 1:] == steps)
    return Network(follows, ahead[1:-1] - 1, steps - 1)


def _leaves_none_out(always: Flags) -> Flags:
    """From each row straight to each column without passing over a round that is open always."""
    passed = np.concatenate([[0], np.cumsum(always)])
    kept: Flags = passed[None, :] == passed[:, None]
    return kept
