"""Barrel sums in words: what is refused, what is warned of, and what is assumed."""

import math
from collections.abc import Iterator
from contextlib import contextmanager

from tracker.core.barrel import coils, torque
from tracker.core.barrel.cautions import Caution, Kind
from tracker.core.barrel.checked import Unfit, Why
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.fit import Offer, WhyNot
from tracker.core.barrel.gauge import Fitted
from tracker.core.barrel.line import Unread
from tracker.core.barrel.slips import Slip
from tracker.core.barrel.sums import Sums
from tracker.core.barrel.whatif import Assumed, WhatIf
from tracker.errors import BadInput
from tracker.words import say, written

FIELDS: dict[str, str] = {
    "drum_diameter_mm": "the drum's inner diameter",
    "arbor_diameter_mm": "the arbor's diameter",
    "thickness_mm": "the strip's thickness",
    "height_mm": "the strip's height",
    "length_mm": "the strip's length",
    "modulus_gpa": "the modulus",
    "free_turns": "the turns of the free strip",
    "efficiency": "the efficiency",
    "hours_per_turn": "the hours of one turn",
    "least_torque_nmm": "the least torque of the train",
    "barrels": "the number of barrels",
    "arrangement": "the arrangement of the barrels",
    "barrel_teeth": "the barrel's teeth",
    "pinion_leaves": "the pinion's leaves",
    "wheel_hours": "the hours of one turn of that wheel",
    "turns_counted": "the turns counted",
    "hours_counted": "the hours counted over",
    "limit_mpa": "the alloy's limit",
    "full_nmm": "the reading at full wind",
    "later_nmm": "the later reading",
    "turns_between": "the turns between the readings",
    "from_vph": "the beat there is",
    "to_vph": "the other beat",
    "factor": "the factor of the train",
}
REFUSED: dict[Why, str] = {
    "not finite": "A number is expected for {name}",
    "not above zero": "A number above 0 is expected for {name}, not {value:,.7g}",
    "below zero": "A number from 0 on is expected for {name}, not {value:,.7g}",
    "above one": "A number above 0 and up to 1 is expected for {name}, not {value:,.7g}",
    "out of range": "A number from {low:,.7g} to {high:,.7g} is expected for {name}, not {value:,.7g}",
    "not whole": "A whole number is expected for {name}, not {value:,.7g}",
    "no arrangement": "Barrels act in “series” or in “parallel”",
    "arbor not inside": "An arbor of {arbor:g} mm does not go into a drum of {drum:g} mm",
    "strip too thick": "A strip {thickness:g} mm thick does not go into the {gap:g} mm between arbor and wall",
    "no room": "A strip of {length:,.6g} mm leaves no room to turn: {longest:,.1f} mm would fill the drum",
    "torque does not fall": "After some turns the gauge must show less than at full wind, not {later:g} N mm where it was {full:g}",
    "more turns than there are": "Between the readings lie {value:g} turns, but the barrel has only {there:.1f}",
}
CAUTIONS: dict[Kind, str] = {
    "breaks": "The arbor's radius is {value:.1f} thicknesses of the strip; under {limit:g} a spring may break.",
    "sets": "The arbor's radius is {value:.1f} thicknesses of the strip; under {limit:g} a spring may set.",
    "room lost": "The arbor's radius is {value:.1f} thicknesses of the strip; over {limit:g} it takes room from the strip.",
    "fill low": "The strip takes {percent:.0f} % of the room; under {limit_percent:.0f} % turns are given away.",
    "fill high": "The strip takes {percent:.0f} % of the room; over {limit_percent:.0f} % turns are given away.",
    "strip long": "The strip is {value:,.0f} thicknesses long; over {limit:,.0f} friction between the coils tells.",
    "strip narrow": "The strip's height is {value:.1f} thicknesses; under {limit:g} a strip may twist.",
    "modulus high": "No metal has a modulus of {value:,.7g} GPa; is the figure in GPa?",
    "no torque": "Out of the drum the strip has {value:.3g} turns, on the arbor {limit:.3g}; so it gives no torque.",
    "too weak": "At full wind the train gets {figure} N mm where it wants {limit:,.7g}; so it does not go.",
}
ASSUMED: dict[Assumed, str] = {
    "geared anew, as much a beat": "The train is geared anew: the escape wheel turns by as much each beat, and each beat gets as much energy. A balance of the same inertia and quality then swings {swing:.2f} times as wide.",
    "geared anew, as wide a swing": "The train is geared anew so that a balance of the same inertia and quality swings as wide as before: the power that takes grows as the cube of its beat.",
    "old train": "With the old train the hours of a turn stay as they are, and nothing is gained.",
    "same share of the room": "The strip is so long that it takes as much of the drum as before, and its free form is as curved.",
    "same arbor": "Arbor, thickness and height stay; the strip is so long that it takes as much of the drum as before.",
    "barrels alike": "All barrels are like this one.",
    "train wants less": "Nothing but the least torque of the train changes.",
    "longest": "Of all strips that take as much of this drum this one runs longest: a thicker one has fewer turns, and of a thinner one the train sooner gets too little. At full wind it gives {times:.1f} times the least torque.",
}
WHY_NOT: dict[WhyNot, str] = {
    "not a strip": "Its sizes are no numbers above 0.",
    "too high": "It is {height:g} mm high, the strip in the barrel {was:g} mm.",
    "too thick": "It is too thick to go between arbor and wall.",
    "no room": "It is so long that it leaves no room to turn.",
    "does not go": "The train does not go on its torque.",
}

FIGURES: dict[str, tuple[str, int | None]] = {
    "coils_unwound": ("coils, unwound", 2),
    "coils_wound": ("coils, fully wound", 2),
    "turns": ("turns of a barrel", 2),
    "fill": ("share of the room", 3),
    "best_length_mm": ("length with most turns, mm", 1),
    "best_turns": ("most turns at this thickness", 2),
    "torque_full_nmm": ("torque at full wind, N mm", None),
    "torque_end_nmm": ("torque at the stop, N mm", None),
    "usable_turns": ("turns the train gets", 2),
    "energy_mj": ("energy down to the stop, mJ", None),
    "stress_full_mpa": ("mean bending stress at full wind, MPa", 0),
    "reserve_h": ("reserve, h", 1),
}
"""The figures of the sums: what they are called, and their decimals (None: three digits that count)."""


class BadBarrel(BadInput):
    """A barrel that can't be reckoned with, in one sentence, with the field to blame and the slip that would explain it."""

    def __init__(self, unfit: Unfit) -> None:
        parts = [say(REFUSED[unfit.why], name=say(FIELDS[unfit.field]), **unfit.values)]
        parts += [_perhaps(each) for each in unfit.suspected]
        super().__init__("; ".join(parts) + ".", field=unfit.field)
        self.why = unfit.why


class BadStrip(BadInput):
    """A line that is no spring."""

    def __init__(self, unread: Unread) -> None:
        what = (
            say("“{part}” is not a number of millimetres.", part=unread.part)
            if unread.part
            else say("“{line}” is not a spring.", line=unread.line)
        )
        accepted = say("Give height × thickness × length × barrel in mm: 1.30 × 0.115 × 350 × 11.")
        super().__init__(what, accepted=accepted)


@contextmanager
def in_words() -> Iterator[None]:
    """Turn what the core refuses inside into a BadBarrel or a BadStrip."""
    try:
        yield
    except Unread as unread:
        raise BadStrip(unread) from unread
    except Unfit as unfit:
        raise BadBarrel(unfit) from unfit


def warning(found: Caution | Slip) -> str:
    """What is to be warned of, as one sentence."""
    if isinstance(found, Slip):
        sentence = _perhaps(found)
        return f"{sentence[0].upper()}{sentence[1:]}."
    values = {"value": found.value, "limit": found.limit}
    percent = {"percent": 100.0 * found.value, "limit_percent": 100.0 * found.limit}
    return say(CAUTIONS[found.kind], **values, **percent, figure=digits(found.value))


def assumed(what_if: WhatIf, was: Barrel) -> str:
    """What a what-if about one barrel assumes."""
    other = what_if.barrel
    wants, gives = float(other.least_torque_nmm), float(torque.torque_nmm(other, coils.coils_wound(other)))
    return say(
        ASSUMED[what_if.assumed],
        swing=float(other.hours_per_turn) / float(was.hours_per_turn),
        times=gives / wants if wants else 0.0,
    )


def why_not(offer: Offer, barrel: Barrel) -> list[str]:
    """Why a spring of a list does not do in a barrel, a sentence each; empty if it does."""
    values = {"height": offer.strip.height_mm, "was": barrel.height_mm}
    return [say(WHY_NOT[each], **values) for each in offer.why_not]


def fitted_to(found: Fitted) -> str:
    """Where a fitted curve comes from, and how far it is from the one that was reckoned."""
    share = float(found.of_reckoned)
    if share > 1.0:
        return say(
            "This curve is fitted to two readings of a torque gauge; it is {times:.2f} times as steep as the one reckoned "
            "without friction, steeper than the strip explains: measure its thickness and height again.",
            times=share,
        )
    return say(
        "This curve is fitted to two readings of a torque gauge; it is {percent:.0f} % as steep as the one reckoned without friction.",
        percent=100.0 * share,
    )


def set_back(before: Sums, after: Sums) -> str:
    """What set takes from a spring, from its sums before and after."""
    if float(after.torque_full_nmm) >= float(before.torque_full_nmm):
        return say("The strip stays below the limit of its alloy and does not set.")
    return say(
        "Above the limit of its alloy the strip sets: at full wind it then gives {less} N mm in place of {torque}, and "
        "the watch runs {shorter:.1f} h in place of {hours:.1f}.",
        less=digits(float(after.torque_full_nmm)),
        torque=digits(float(before.torque_full_nmm)),
        shorter=float(after.reserve_h),
        hours=float(before.reserve_h),
    )


def summary(found: Sums) -> str:
    """What one barrel gives, for the first line."""
    if float(found.usable_turns) <= 0.0:
        return say("{turns:.1f} turns, but the train does not go on them.", turns=float(found.turns))
    return say(
        "{turns:.1f} turns, {hours:.0f} h down to {torque} N mm.",
        turns=float(found.usable_turns),
        hours=float(found.reserve_h),
        torque=digits(float(found.torque_end_nmm), 2),
    )


def figures(found: Sums) -> list[tuple[str, str]]:
    """The figures of one barrel, each with what it is called."""
    return [
        (say(name), digits(value) if decimals is None else written(float(value), f",.{decimals}f"))
        for field, (name, decimals) in FIGURES.items()
        for value in [float(getattr(found, field))]
    ]


def digits(value: float, count: int = 3) -> str:
    """A figure to so many digits that count, never with an exponent."""
    before = math.floor(math.log10(abs(value))) + 1 if value else 1
    return written(value, f",.{max(0, count - before)}f")


def assumptions(barrel: Barrel, found: Sums) -> list[str]:
    """What stands behind the sums of one barrel, a sentence each; to be shown beside every result."""
    turns, best = float(found.turns), float(found.best_turns)
    return [
        say("The coils are taken to lie close, to stay concentric and to bend the same all along."),
        _friction(float(barrel.efficiency)),
        say(
            "Torque is taken to follow a straight line, so the energy is an upper figure: packed coils store some 10 % less."
        ),
        say(
            "A true spiral, whose first coil is not closed, gives about {less:g} turn less, {real:.1f} in place of {turns:.1f}; for a real barrel 3 to 5 % less is fair.",
            less=coils.TRUE_SPIRAL_TURNS,
            real=max(0.0, turns - coils.TRUE_SPIRAL_TURNS),
            turns=turns,
        ),
        say(
            "A cautious figure for the most turns, {cautious:.1f} in place of {best:.1f}, divides by 2.55 where the sum divides by 2.",
            cautious=best * coils.CAUTIOUS,
            best=best,
        ),
        say(
            "The strip's outer end is taken to be clamped; on an eyelet the greatest stress is twice as much, {stress:,.0f} MPa.",
            stress=2.0 * float(found.stress_full_mpa),
        ),
        *_several(barrel),
        say("The sums guide a choice; torque gauge and run-down decide."),
    ]


def _friction(efficiency: float) -> str:
    if efficiency == 1.0:
        return say("Friction between the coils is left out.")
    return say(
        "Friction between the coils is taken to leave {percent:.0f} % of the torque throughout.",
        percent=100.0 * efficiency,
    )


def _several(barrel: Barrel) -> list[str]:
    if float(torque.in_series(barrel)) > 1:
        return [
            say("The barrels are taken to be alike; one behind the other their turns add, the torque is that of one.")
        ]
    if float(torque.side_by_side(barrel)) > 1:
        return [say("The barrels are taken to be alike; side by side their torques add, the turns are those of one.")]
    return []


def _perhaps(slip: Slip) -> str:
    unit = say("GPa") if slip.fields == ("modulus_gpa",) else say("mm")
    return say(
        "perhaps the unit of {names} is {unit}: {would_be} would be usual",
        names=say(" and ").join(say(FIELDS[field]) for field in slip.fields),
        unit=say(slip.unit),
        would_be=say(" and ").join(say("{value:.4g} {unit}", value=float(value), unit=unit) for value in slip.would_be),
    )
