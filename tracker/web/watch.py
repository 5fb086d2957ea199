"""The Watch page: how is this one? And what can be done with it."""

from collections.abc import Mapping

from flask import Blueprint, render_template, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from tracker import sensing, servicewords, winders, winderwords
from tracker.asked import threshold_of
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.register import FIELD_NAMES, ArchiveWatch, BringBackWatch, EditWatch
from tracker.core.heard import Question
from tracker.core.watch import Watch
from tracker.errors import NotFound
from tracker.figures import Figures, look
from tracker.store import attachments, log, portraits, register, sensors, services
from tracker.store.cues import open_cues
from tracker.uids import new_uid, uid_of
from tracker.web import (
    drawing,
    habitwords,
    heardwords,
    logwords,
    lookwords,
    pending,
    pictures,
    registerwords,
    reservewords,
    roundsaid,
    runwords,
    safety,
    serviceview,
    telling,
    toread,
    woundwords,
)
from tracker.web.behind import behind
from tracker.web.board import board
from tracker.web.bookview import part_said
from tracker.web.forms import Answer, Form, form_page, values_of, version_of
from tracker.web.registering import FLAGS
from tracker.web.request import back_to, change, for_owner, line_for, now, preferences, store, zone
from tracker.words import say
from tracker.workedout import scale_h

pages = Blueprint("watch", __name__)

WORDS = {
    "key_of": uid_of,
    "logwords": logwords,
    "lookwords": lookwords,
    "pending": pending,
    "registerwords": registerwords,
    "reservewords": reservewords,
    "roundsaid": roundsaid,
    "runwords": runwords,
    "servicewords": servicewords,
    "telling": telling,
    "toread": toread,
    "winderwords": winderwords,
    "woundwords": woundwords,
}
"""What the template says things with."""


def found(uid: str) -> Watch:
    """The watch of this address.

    Raises:
        NotFound: there is none.
    """
    watch = register.watch(store().reading(), uid)
    if watch is None:
        raise NotFound(say("There is no such watch, or no longer."))
    return watch


@pages.get("/watch/<uid>")
def page(uid: str) -> str:
    """One watch as it stands."""
    return show(uid, MultiDict(), {})


def show(uid: str, form: Form, problems: Mapping[str, str]) -> str:
    """The page with what was typed into its taps, and a sentence by what can't be taken."""
    safety.allow_pictures()
    line, figures = line_for(uid), look(store(), uid, now())
    rows = log.entry_rows(store().reading(), uid)
    wrong = {uid for uid, _ in figures.history.flaws}
    named = {row["uid"]: logwords.when(row, now(), zone()) for row in rows if row["uid"] in wrong}
    photographs = attachments.by_entry(store().reading(), uid)
    known = figures if isinstance(figures, Figures) else None
    stopped_first = known is not None and telling.likely_stopped(known)
    return render_template(
        "watchlook.html" if not for_owner() else "watch.html" if known else "waiting.html",
        known=known,
        each=figures,
        watch=figures.watch,
        line=line,
        asks=pending.asks(line, uid),
        open_questions=heardwords.asked(questions_of(uid, known), rows, now(), zone()),
        board=board([known] if known else [], [], now(), zone()),
        stopped_first=stopped_first,
        going_first=telling.going_first(known)
        if known and known.standing.word == "may have stopped"
        else not stopped_first,
        near_h=lambda run: reservewords.reserve_then(known, run).mid if known else scale_h(figures.watch),
        log=logwords.shortened(rows, everything=request.args.get("log") == "all"),
        runs=runwords.shortened(figures.history.runs, everything=request.args.get("runs") == "all"),
        photographs=photographs,
        portraits=portraits.of_watch(store().reading(), uid),
        kept_files=attachments.of_watch(store().reading(), uid),
        services=services.services(store().reading(), uid),
        part_said=part_said,
        due=serviceview.due_on_watch(known, preferences().values, now(), zone()) if known else "",
        unread=toread.to_read(rows, photographs),
        drawn=drawing.drawn(known, threshold_of(preferences().values), now(), zone()) if known else None,
        pictures=pictures,
        behind=behind,
        lies_on=sensors.lies_on(store().reading(), uid),
        cue=open_cues(store().reading(), [uid]).get(uid),
        winder=winders.held(store().reading(), uid),
        turns=winders.lately(store().reading(), winders.seated(store().reading()), uid, now()),
        habit=habitwords.said(habitwords.habit_of(rows, zone())),
        flaws=runwords.flaws(figures.history.flaws, named),
        key=form.get("key") or new_uid(now()),
        form=form,
        problems=problems,
        now=now(),
        zone=zone(),
        **WORDS,
    )


def questions_of(uid: str, known: Figures | None) -> list[Question]:
    """What its sensors left open, oldest first."""
    other = sensing.another_watch(store().reading(), uid)
    return [*(known.questions if known else ()), *([] if other is None else [other])]


@pages.route("/watch/<uid>/edit", methods=["GET", "POST"])
def edit(uid: str) -> Answer:
    """Change what the register says of it."""
    watch = found(uid)
    fresh = {name: getattr(watch, name) for name in FIELD_NAMES}
    return form_page("edit.html", _edit, fresh=fresh, watch=watch, version=watch.version)


def _edit(form: Form) -> Response:
    uid = str((request.view_args or {})["uid"])
    fields = values_of(form, [name for name in FIELD_NAMES if name not in FLAGS], flags=FLAGS)
    hidden = {"uid": form.get("uid", ""), "watch_uid": uid, "version": version_of(form)}
    change([build(EditWatch, fields | hidden)], say("Saved."))
    return back_to("watch.page", uid=uid)


@pages.post("/watch/<uid>/archive")
def archive(uid: str) -> Response:
    """Put it away: out of lists and rounds, its history kept."""
    return _moved(ArchiveWatch, uid, say("{nickname} is put away; its history is kept.", nickname=found(uid).nickname))


@pages.post("/watch/<uid>/bring-back")
def bring_back(uid: str) -> Response:
    """Return it to the collection."""
    return _moved(BringBackWatch, uid, say("{nickname} is back in the collection.", nickname=found(uid).nickname))


def _moved(command: type[Command], uid: str, said: str) -> Response:
    change([build(command, {"uid": request.form.get("uid", ""), "watch_uid": uid})], said)
    return back_to("collection.page")
