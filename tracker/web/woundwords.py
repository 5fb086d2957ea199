"""From what the hours left of a watch count that is not just wound in full: its turns, its wear, its winder, its indicator."""

import math

from tracker import phrases
from tracker.core.acts import Act, Kind
from tracker.core.crownturns import Turns, turns_of
from tracker.core.presentrun import gains_of
from tracker.core.scale import FIXED_SD
from tracker.figures import Figures
from tracker.words import say

TELL: tuple[Kind, ...] = ("turns", "shows", "on winder", "on wrist")
"""Acts that say how far a watch is wound."""
NINE_IN_TEN_SD = 1.645


def counted_from(each: Figures) -> str:
    """From what its hours count; empty for a full wind, or where they are not known."""
    run = each.history.current
    if run is None or each.wound is None:
        return ""
    told = next((act for act in reversed(run.acts) if act.kind in TELL), None)
    if told is None:
        return ""
    if told.kind == "turns":
        return _turns(told, run.turns_to_full)
    if told.kind == "shows":
        return _read(told)
    return _winder(each, told) if told.kind == "on winder" else _wear(each)


def _turns(act: Act, full: Turns | None) -> str:
    if full is None or act.low is None:
        return ""
    turns = phrases.number(round(turns_of(act.low, full)))
    if full.counted:
        return say(
            "Wound in part, {turns} turns: its hours count from that; {low} to {high} fill it, as counted at {n} windings.",
            turns=turns,
            low=phrases.number(round(full.low)),
            high=phrases.number(round(full.high)),
            n=phrases.number(full.counted),
        )
    return say(
        "Wound in part, {turns} turns: its hours count from that; by the register about {n} fill it.",
        turns=turns,
        n=phrases.number(round(full.mid)),
    )


def _read(act: Act) -> str:
    if act.high == FIXED_SD:
        return say("Its hours count from what its indicator showed; both ends of its scale were seen.")
    return say("Its hours count from what its indicator showed, on a scale whose ends nobody has noted yet.")


def _wear(each: Figures) -> str:
    fills = gains_of(each.watch, each.history, each.estimate.next_run).fills
    hours = phrases.span(*(math.exp(fills[0] + side * NINE_IN_TEN_SD * fills[1]) for side in (-1.0, 1.0)))
    seen = len(each.history.worn)
    known = say("no run of its log tells it yet")
    if seen:
        known = say("by 1 run of its log") if seen == 1 else say("by {n} runs of its log", n=phrases.number(seen))
    return say(
        "Its hours count from how long it was worn, if {hours} of wear wind it from stopped to full ({known}).",
        hours=hours,
        known=known,
    )


def _winder(each: Figures, act: Act) -> str:
    if act.low is None:
        return say("On a winder, how many turns a day nobody has noted.")
    turns, need = phrases.number(round(act.low)), each.watch.winder_turns_a_day
    if need is None:
        return say(
            "Its hours count with {turns} turns a day on its winder; a watch usually needs 650 to 800.", turns=turns
        )
    return say(
        "Its hours count with {turns} turns a day on its winder; it needs {need} by the register.",
        turns=turns,
        need=phrases.number(round(need)),
    )
