"""Whose turn it is: what the plan puts into the round that is held now, or the next."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from tracker.planning import Planned


@dataclass(frozen=True, slots=True)
class Turn:
    """The round `at`, the uids `wanted` in it (and those it comes too late for), all that are `planned`.

    `later` is the next round after it in which anything is wound.
    """

    at: datetime
    wanted: frozenset[str]
    planned: frozenset[str]
    later: datetime | None


def turn(found: Planned, wind_bys: Mapping[str, datetime | None]) -> Turn | None:
    """What is to be wound at the first of the rounds of this plan, given the wind-by of each watch; None without rounds.

    A watch whose wind-by comes before that round is wanted, whatever round was chosen for it.
    """
    if not found.rounds:
        return None
    at = found.rounds[0]
    planned = found.members.keys() - {*found.plan.cannot}
    into = {uid for each in found.plan.rounds if each.at == at for uid in each.wind}
    overdue = {uid for uid in planned if (by := wind_bys.get(uid)) is not None and by <= at}
    return Turn(
        at=at,
        wanted=frozenset(into | overdue),
        planned=frozenset(planned),
        later=next((each.at for each in found.plan.rounds if each.at > at), None),
    )
