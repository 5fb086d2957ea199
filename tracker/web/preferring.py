"""What the Settings page shows of the preferences, and what its form makes of them."""

from zoneinfo import available_timezones

from tracker.asked import stops_a_year
from tracker.commands.build import build
from tracker.commands.settings import SETTING_NAMES, ChangeSettings, Settings
from tracker.core.reserve import estimate, prior_for
from tracker.core.watch import Stake
from tracker.core.windby import Risk, risk_for
from tracker.web.forms import Form, values_of, version_of
from tracker.words import say

FLAGS = ("publish_states", "backup_daily")
TIMES = ("rounds_on_weekdays", "rounds_at_weekends")
WORDS = ("bench_days", "first_steps_settled")
EXAMPLE_H = 40.0
"""The reserve at which the page says what a number of stops comes to."""


def fresh(settings: Settings) -> dict[str, object]:
    """What the form opens with."""
    held = {name: getattr(settings, name) for name in SETTING_NAMES}
    return held | {name: ", ".join(held[name]) for name in TIMES} | {name: " ".join(held[name]) for name in WORDS}


def command(form: Form) -> ChangeSettings:
    """The change a form asks for.

    Raises:
        Rejected: what can't be taken, by field.
    """
    told = values_of(form, [name for name in SETTING_NAMES if name not in FLAGS], flags=FLAGS)
    return build(ChangeSettings, {**told, "uid": form.get("uid", ""), "version": version_of(form)})


def risks(settings: Settings) -> dict[str, str]:
    """By stake, what the stops a year come to for a watch of 40 h that nothing is known of but its stated reserve."""
    stakes: tuple[Stake, ...] = ("time only", "date", "calendar")
    curve = estimate((), prior_for(EXAMPLE_H), now_years=0.0).next_run
    return {stake: _said(risk_for(curve, stops_a_year(settings, stake))) for stake in stakes}


def _said(risk: Risk) -> str:
    said = say("At 40 h: one wind-by in {n} may come too late.", n=round(1 / risk.p))
    if risk.at_floor:
        return say(
            "{said} So rare a stop can't be promised by a wind-by alone; winding in every round does it.", said=said
        )
    return said


def ways_of_writing() -> dict[str, list[tuple[str, str]]]:
    """By setting, its words and what each looks like."""
    return {
        "clock": [("24 h", say("19:00")), ("12 h", say("7:00 pm"))],
        "dates": [
            ("year first", "2026-11-25"),
            ("day first", say("25 Nov 2026")),
            ("month first", say("Nov 25, 2026")),
        ],
        "decimal": [("point", "1.5"), ("comma", "1,5")],
    }


def zones() -> list[str]:
    """The names of time zones that stand for a place."""
    return sorted(name for name in available_timezones() if "/" in name and not name.startswith("Etc/"))
