"""The usual cautions, a sentence each; where one is said, `web/cautions` and the commands choose.

Sources, as far as there are any: radium – US Environmental Protection Agency, leaflet "Radioactive Antiques"; Canadian Nuclear
Safety Commission, "Radium Luminous Devices: Tips for Your Safety" (do not open; a dial that no longer glows may still be
radioactive). Solvents – UK Health and Safety Executive, COSHH Essentials, HSG193 (ventilation and containment). Water – ISO
22810. All else: common practice, no source. Where law differs by country the sentence defers to local rules.
"""

from tracker.words import say, written


def wound_spring() -> str:
    """Beside anything about a mainspring."""
    return say(
        "A wound mainspring can injure: let the power down before opening, protect your eyes, use a proper spring "
        "winder, and leave it to a trained watchmaker if unsure."
    )


def open_drum() -> str:
    """Beside a barrel that is opened or a spring taken out of it."""
    return say(
        "A spring jumps out of an open drum: take it out and put it in with a winder of its size, never by hand alone."
    )


def radium() -> str:
    """Beside anything about opening a watch."""
    return say(
        "Old luminous paint may be radioactive (radium): do not open, scrape or brush such a dial; follow local rules."
    )


def cleaning() -> str:
    """Beside anything about taking a watch apart to clean it."""
    return say("Solvents and ultrasonic baths: ventilate well, and follow local rules.")


def water() -> str:
    """Beside anything a case was opened for (ISO 22810)."""
    return say("It is tight against water only if it was tested for that after this work (ISO 22810).")


def trained_eye() -> str:
    """Beside figures that could be taken for a verdict."""
    return say("These figures support a trained eye; they do not replace it.")


def winder_on_mains() -> str:
    """Beside anything about a winder."""
    return say("A winder on the mains: follow its maker's instructions.")


def resistance() -> str:
    """Beside any crown that resists at full wind."""
    return say("Do not force a crown past its resistance.")


def no_resistance(turns: float | None) -> str:
    """Beside an automatic's crown, which slips; `turns` from stopped to full, where they were counted."""
    if turns is None:
        return say("It gives no resistance at full wind: count the turns.")
    return say("Stop at its {n} turns; it gives no resistance.", n=written(turns, "g"))


def screw_back() -> str:
    """Beside a crown that screws down."""
    return say("Screw the crown back.")


def other_springs(springs: str) -> str:
    """Beside a watch with an alarm or a strike of its own."""
    return say("Wind its other springs too: {springs}.", springs=springs)


def date_change() -> str:
    """Beside the setting of a date."""
    return say(
        "Set no date while the hands stand between 9 pm and 3 am – on the dial, not by the room's clock; first bring them "
        "forward to about 6:30."
    )


def calendar_change() -> str:
    """Beside the setting of a calendar or a moon, which begin earlier and end later."""
    return say(
        "Set no date while the hands stand between 8 pm and 4 am – on the dial, not by the room's clock; first bring them "
        "forward to about 6:30."
    )
