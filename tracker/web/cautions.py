"""The usual cautions at winding and setting, as short sentences."""

from tracker import servicewords
from tracker.core.watch import Watch
from tracker.words import say


def at_winding(watch: Watch) -> list[str]:
    """What to mind while winding this watch."""
    said = []
    if watch.wound_by == "crown and rotor":
        turns = watch.crown_turns_to_full
        said.append(
            say("Stop at its {n} turns; it gives no resistance.", n=f"{turns:g}")
            if turns
            else say("It gives no resistance at full wind: count the turns.")
        )
    return said + beside_turns(watch)


def beside_turns(watch: Watch) -> list[str]:
    """The same without how far."""
    said = []
    if watch.screw_down_crown:
        said.append(say("Screw the crown back."))
    if watch.other_springs:
        said.append(say("Wind its other springs too: {springs}.", springs=watch.other_springs))
    return said


def at_setting(watch: Watch) -> str:
    """When not to set a date: by the hours on the hands (common practice, no source)."""
    if watch.stake == "calendar":
        return say("Set no date while the hands stand between 8 pm and 4 am; first bring them forward to about 6:30.")
    if watch.date_window or watch.stake == "date":
        return say("Set no date while the hands stand between 9 pm and 3 am; first bring them forward to about 6:30.")
    return ""


def at_a_barrel() -> list[str]:
    """What to mind before a barrel is opened or a spring taken out of it (common practice, no source)."""
    return [
        servicewords.wound_spring(),
        say(
            "A spring jumps out of an open drum: take it out and put it in with a winder of its size, never by hand alone."
        ),
        say("The sums guide a choice; a trained watchmaker, a torque gauge and a run-down decide."),
    ]
