"""Which cautions a page shows: one short list each, no sentence twice. The sentences are those of `cautionwords`."""

from collections.abc import Iterable

from tracker import cautionwords
from tracker.core.watch import Watch
from tracker.words import say


def at_winding(watch: Watch) -> list[str]:
    """What to mind of this one alone while winding it; what holds for every crown is said once by `past_resistance`."""
    slips = watch.wound_by == "crown and rotor"
    return [*([cautionwords.no_resistance(watch.crown_turns_to_full)] if slips else []), *beside_turns(watch)]


def beside_turns(watch: Watch) -> list[str]:
    """The same without how far."""
    said = [cautionwords.screw_back()] if watch.screw_down_crown else []
    return [*said, *([cautionwords.other_springs(watch.other_springs)] if watch.other_springs else [])]


def past_resistance(watches: Iterable[Watch]) -> list[str]:
    """Not to force a crown, once for all of these that have one that resists."""
    return [cautionwords.resistance()] if any(watch.wound_by == "crown" for watch in watches) else []


def at_setting(watch: Watch) -> str:
    """When not to set a date: by the hours on the hands; empty where there is none to set."""
    if watch.stake == "calendar":
        return cautionwords.calendar_change()
    if watch.date_window or watch.stake == "date":
        return cautionwords.date_change()
    return ""


def of_watch(watch: Watch) -> list[str]:
    """What to mind while winding and setting this one, all of it."""
    setting = at_setting(watch)
    return [*past_resistance([watch]), *at_winding(watch), *([setting] if setting else [])]


def at_a_full_wind(watch: Watch) -> list[str]:
    """What to mind at the full wind and the setting that begin a run-down test."""
    by_hand = say("It has no winding by hand: let its winder or wear fill it.")
    return [*([by_hand] if watch.wound_by == "rotor only" else []), *of_watch(watch), cautionwords.wound_spring()]


def at_the_bench() -> list[str]:
    """Before a watch is opened and taken apart."""
    return [cautionwords.wound_spring(), cautionwords.radium(), cautionwords.cleaning()]


def at_a_service() -> list[str]:
    """The same, and what holds once it is closed again."""
    return [*at_the_bench(), cautionwords.water()]


def before_opening() -> list[str]:
    """Beside a list of which watch to open next, and why."""
    return [cautionwords.wound_spring(), cautionwords.radium(), cautionwords.trained_eye()]


def at_a_barrel() -> list[str]:
    """Before a barrel is opened or a spring taken out of it."""
    decide = say("A torque gauge and a run-down decide.")
    return [
        cautionwords.wound_spring(),
        cautionwords.open_drum(),
        cautionwords.radium(),
        f"{cautionwords.trained_eye()} {decide}",
    ]


def on_the_sheet(watch: Watch) -> list[str]:
    """What the customer should mind, and whoever opens it next."""
    return [
        *of_watch(watch),
        cautionwords.water(),
        say("Do not open it yourself."),
        *at_the_bench(),
        cautionwords.trained_eye(),
    ]


def beside_an_entry(kind: str, watch: Watch) -> list[str]:
    """Below the form of a log entry of this kind."""
    if kind == "service":
        return at_a_service()
    if kind == "winder":
        return [cautionwords.winder_on_mains()]
    return of_watch(watch) if kind == "wind" else []
