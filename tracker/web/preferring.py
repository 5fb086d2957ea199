"""What the Settings page shows of the preferences, and what its form makes of them."""

from zoneinfo import available_timezones

from tracker.commands.build import build
from tracker.commands.settings import SETTING_NAMES, ChangeSettings, Settings
from tracker.core.reserve import estimate, prior_for
from tracker.core.watch import Stake
from tracker.core.windby import Risk, risk_for
from tracker.errors import BadInput
from tracker.figures import stops_a_year
from tracker.web.forms import Form, values_of, version_of
from tracker.words import say

SECRET = "remind_address"  # noqa: S105 -- a field's name
FLAGS = ("publish_states",)
TIMES = ("rounds_on_weekdays", "rounds_at_weekends")
EXAMPLE_H = 40.0
"""The reserve at which the page says what a number of stops comes to."""


def fresh(settings: Settings) -> dict[str, object]:
    """What the form opens with: all but the address, which is never shown in clear."""
    held = {name: getattr(settings, name) for name in SETTING_NAMES if name != SECRET}
    return held | {name: ", ".join(held[name]) for name in TIMES}


def command(form: Form, held: Settings) -> ChangeSettings:
    """The change a form asks for: an empty address leaves the one there is, a tick removes it.

    Raises:
        Rejected: what can't be taken, by field.
    """
    typed = form.get(SECRET, "").strip()
    address = "" if form.get("forget_address") else typed or held.remind_address
    names = [name for name in SETTING_NAMES if name not in {SECRET, *FLAGS}]
    told = values_of(form, names, flags=FLAGS)
    return build(ChangeSettings, {**told, SECRET: address, "uid": form.get("uid", ""), "version": version_of(form)})


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


def zones() -> list[str]:
    """The names of time zones that stand for a place."""
    return sorted(name for name in available_timezones() if "/" in name and not name.startswith("Etc/"))


def try_address(settings: Settings, key: str) -> str:
    """Send a message to the address that is set; returns what came of it as a sentence.

    Raises:
        BadInput: no address is set.
    """
    from tracker.reminders.deliver import send  # noqa: PLC0415 -- Apprise is needed only to send
    from tracker.reminders.message import Message  # noqa: PLC0415 -- as above

    if not settings.remind_address:
        raise BadInput(say("No address is set."), field=SECRET, accepted=say("Save one first."))
    text = say("This is a test: reminders will come here.")
    answer = send(settings.remind_address, Message(say("Going Barrel"), text, key))
    if answer.kind == "sent":
        return say("Sent. Look whether it arrived.")
    return say("Not sent: {why}", why=answer.reason)
