"""What the register says of a watch, in words, and what to beware of when handling it."""

from datetime import date

from tracker import phrases, readingphrases
from tracker.core.watch import Watch
from tracker.words import say, written

WOUND_BY = {
    "crown": "the crown, by hand",
    "crown and rotor": "the rotor, and the crown",
    "rotor only": "the rotor alone",
    "key": "a key",
    "weights": "weights",
}
HABIT = {
    "when worn": "wound when worn",
    "keep going": "kept going",
    "on weekdays": "on weekdays: {days}",
    "every n days": "every {n} days",
    "at rest": "at rest",
}
STAKE = {"time only": "the time alone to set", "date": "time and date to set", "calendar": "a calendar or moon to set"}
REACH = {"at hand": "", "only at": "only there", "out of reach": "out of reach"}
WINDER_WAY = {
    "clockwise": "only clockwise counts",
    "anticlockwise": "only anticlockwise counts",
    "both": "either direction counts",
}
INDICATOR = {"none": "", "fraction": "shows a fraction of full", "hours": "shows hours"}


def register(watch: Watch) -> list[tuple[str, str]]:
    """Label and value of everything the register says; what is empty stays out. Value and serial are on the edit page."""
    said = [
        (say("Wound by"), say(WOUND_BY[watch.wound_by])),
        (say("Turns to full"), written(watch.crown_turns_to_full, "g") if watch.crown_turns_to_full else ""),
        (say("Habit"), _habit(watch)),
        (say("A stop costs"), say(STAKE[watch.stake])),
        (say("Indicator"), say(INDICATOR[watch.indicator])),
        (say("Dial"), say("24 hours") if watch.dial_hours == 24 else ""),  # noqa: PLR2004 -- a kind of dial
        (say("Other springs"), watch.other_springs),
        (say("How it is set"), watch.setting_details),
        (say("Place"), ", ".join(part for part in (watch.place, say(REACH[watch.reach])) if part)),
        (say("Belongs to"), watch.belongs_to),
        (say("Job number"), watch.job_number),
        (say("Came in"), _day(watch.came_in)),
        (say("Promised for"), _day(watch.promised_for)),
        (say("Went out"), _day(watch.went_out)),
        (say("Serviced by your rule"), _service_rule(watch)),
        (say("Calibre"), watch.calibre),
        (say("Vibrations an hour"), str(watch.vibrations_per_hour or "")),
        (say("Lift angle"), readingphrases.degrees(watch.lift_angle_deg) if watch.lift_angle_deg else ""),
        (say("Least reserve"), phrases.in_hours(watch.least_reserve_h, 1.0) if watch.least_reserve_h else ""),
        *_by_rotor(watch),
        (say("Telling looks"), say("offered") if watch.looks_offered else ""),
        (say("Notes"), watch.note),
    ]
    return [(label, value) for label, value in said if value]


def job(watch: Watch) -> str:
    """Whose watch it is, by which job, and where it is in it."""
    told = [
        say("Job {number}", number=watch.job_number),
        say("belongs to {whose}", whose=watch.belongs_to) if watch.belongs_to else "",
        say("came in {day}", day=_day(watch.came_in)) if watch.came_in else "",
        say("promised for {day}", day=_day(watch.promised_for)) if watch.promised_for and not watch.gone_out else "",
        say("went out {day}", day=_day(watch.went_out)) if watch.went_out else "",
    ]
    return "; ".join(part for part in told if part) + "."


def _day(day: date | None) -> str:
    return phrases.date_of(day) if day is not None else ""


def _service_rule(watch: Watch) -> str:
    every = (
        say("every {years} years", years=written(watch.service_every_years, "g")) if watch.service_every_years else ""
    )
    due = say("on {day}", day=phrases.date_of(watch.service_due_on)) if watch.service_due_on else ""
    return say("{every}, next {due}", every=every, due=due) if every and due else every or due


def _habit(watch: Watch) -> str:
    days = " ".join(say(day) for day in watch.habit_weekdays)
    said = say(HABIT[watch.habit]).format(days=days, n=watch.habit_every_days)
    if watch.habit == "at rest" and watch.habit_every_days is not None:
        return say("{habit}, with a run every {n} days", habit=said, n=watch.habit_every_days)
    return said


def _by_rotor(watch: Watch) -> list[tuple[str, str]]:
    """What its owner knows of its rotor; what was said of another kind of watch is kept and means nothing."""
    if not watch.by_rotor:
        return []
    return [
        (say("On a winder it needs"), _needs(watch)),
        (say("Its winder rests at most"), _hours(watch.winder_pause_h)),
        (say("Filled by wear of"), _hours(watch.wear_fills_h)),
    ]


def _hours(told: float | None) -> str:
    return say("{n} h", n=written(told, "g")) if told else ""


def _needs(watch: Watch) -> str:
    """Turns a day and the directions that wind it, as far as its owner has said them."""
    way = say(WINDER_WAY[watch.winder_way]) if watch.winder_way else ""
    turns = say("{n} turns a day", n=written(watch.winder_turns_a_day, "g")) if watch.winder_turns_a_day else ""
    return ", ".join(part for part in (turns, way) if part)
