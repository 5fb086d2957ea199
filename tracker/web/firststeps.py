"""The first steps of somebody new: what is there, when they wind, how they are told, from where they reach it, what is backed up."""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import Blueprint, render_template, request, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from tracker import backupwords, feed, phrases
from tracker.backup import daily
from tracker.commands.build import build
from tracker.commands.settings import ChangeSettings, FirstStep, Settings
from tracker.store.channels import channels
from tracker.store.command_log import is_example
from tracker.store.register import every_watch
from tracker.uids import new_uid, uid_of
from tracker.web.registering import FRESH
from tracker.web.request import back_to, change, now, preferences, reach, store
from tracker.words import say

pages = Blueprint("firststeps", __name__)

ALL: tuple[FirstStep, ...] = ("watches", "rounds", "reminders", "phone", "backup")


@dataclass(frozen=True, slots=True)
class Step:
    """One step: its name, its title, how it stands, what may be done, where; whether it is done, or settled by a word."""

    name: FirstStep
    title: str
    stands: str
    advice: str
    links: tuple[tuple[str, str], ...]
    done: bool
    settled: bool

    @property
    def is_open(self) -> bool:
        """Whether it still wants an answer."""
        return not (self.done or self.settled)


@pages.get("/first-steps")
def page() -> str:
    """All steps, each as it stands."""
    found = steps()
    return render_template("firststepspage.html", head=head(found), **shown(found))


@pages.post("/first-steps")
def settle() -> Response:
    """Leave a step as it is, or all of them; or ask for all again."""
    word, held = request.form.get("settle", ""), preferences()
    settled = ALL if word == "all" else () if word == "none" else (*held.values.first_steps_settled, word)
    said = (
        say("The first steps are put away.") if word == "all" else say("Left so.") if word != "none" else say("Shown.")
    )
    given = held.values.model_dump() | {"first_steps_settled": settled}
    change([build(ChangeSettings, {**given, "uid": request.form.get("uid", ""), "version": held.version})], said)
    return back_to("round.page")


def shown(found: Sequence[Step]) -> dict[str, object]:
    """What the template needs to show the steps; the form opens as that of the register does."""
    return {"steps": found, "step_form": MultiDict(FRESH), "step_uid": new_uid(now()), "key_of": uid_of}


def steps() -> list[Step]:
    """The steps as they stand."""
    values = preferences().values
    told = [_watches(), _rounds(values), _reminders(), _phone(values), _backup(values)]
    return [Step(name, *each, settled=name in values.first_steps_settled) for name, each in zip(ALL, told, strict=True)]


def left_open() -> str:
    """How many steps still want an answer, as a line of the Round page; "" where none does, and in the example."""
    if is_example(store().reading()):
        return ""
    still = len([each for each in steps() if each.is_open])
    return (
        say("First steps: {n} of {all} still open.", n=phrases.number(still), all=phrases.number(len(ALL)))
        if still
        else ""
    )


def head(found: Sequence[Step]) -> str:
    """What is still to do."""
    still = [each for each in found if each.is_open]
    if not still:
        return say("The first steps are done.")
    return say("First steps: next, {title}", title=still[0].title[:1].lower() + still[0].title[1:])


Told = tuple[str, str, str, tuple[tuple[str, str], ...], bool]


def _watches() -> Told:
    count = len(every_watch(store().reading()))
    return (
        say("Name your watches"),
        say("{n} registered.", n=phrases.capital(phrases.number(count))) if count else say("None is registered yet."),
        say("Or bring a list as CSV: going import watches.csv --kind watches. To look around first: make demo, or going demo, opens an example of its own beside yours."),
        ((url_for("collection.register"), say("Register more watches") if count else say("Register the first watches, with more to say of each")),),
        bool(count),
    )  # fmt: skip


def _rounds(values: Settings) -> Told:
    usual = Settings()
    own = (values.rounds_on_weekdays, values.rounds_at_weekends) != (usual.rounds_on_weekdays, usual.rounds_at_weekends)
    return (
        say("Say when you wind"),
        say(
            "Now: on weekdays {weekdays}; at weekends {weekends}.",
            weekdays=phrases.listed(values.rounds_on_weekdays) if values.rounds_on_weekdays else say("never"),
            weekends=phrases.listed(values.rounds_at_weekends) if values.rounds_at_weekends else say("never"),
        ),
        say("At each of these times one message names what to wind; the plan takes as few of them as will do."),
        ((f"{url_for('settings.page')}#rounds_on_weekdays", say("Other times")),),
        own,
    )


def _reminders() -> Told:
    names = [each.name for each in channels(store().reading())]
    read = feed.key_of(store().path.parent) is not None
    ways = [*names, *([say("your calendar")] if read else [])]
    return (
        say("Choose how you are reminded"),
        say("By: {ways}.", ways=phrases.listed(ways)) if ways else say("Reminders show on the page alone."),
        say("A message to your phone or by mail, or a calendar that shows rounds and wind-bys."),
        ((url_for("channels.page"), say("Add a channel")), (f"{url_for('settings.page')}#calendar", say("In your calendar"))),
        bool(ways),
    )  # fmt: skip


def _phone(values: Settings) -> Told:
    home, base = reach().logs_in, values.base_address
    if not home:
        stands = say("Only this machine is answered.")
    elif base:
        stands = say("From a phone: {address}", address=base)
    else:
        stands = say("Phones are answered; their address is not said under Settings yet.")
    return (
        say("Reach it from your phone"),
        stands,
        say("Start the program with going serve --home: it asks for a password and prints the address. Give that address under Settings, and messages and labels lead to it."),
        ((f"{url_for('settings.page')}#base_address", say("Give the address")), (url_for("labels.page"), say("Labels for your watches"))),
        home and bool(base),
    )  # fmt: skip


def _backup(values: Settings) -> Told:
    standing = daily.standing(store().path.parent, values.backup_folder, now())
    return (
        say("Keep a copy elsewhere"),
        backupwords.told(standing, now(), preferences()),
        say(
            "Beside the collection a backup helps against a slip, not against a dead disk: name a folder on another one."
        ),
        ((f"{url_for('settings.page')}#backups", say("Choose the folder")),),
        bool(values.backup_folder) and values.backup_daily and not standing.failed,
    )
