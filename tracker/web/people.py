"""Who may come in: people, the browsers that are logged in, tokens for programs, and secrets given anew."""

from datetime import datetime, timedelta

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from tracker import renewal
from tracker.commands.build import build
from tracker.commands.person import AddPerson, EditPerson, RemovePerson
from tracker.commands.token import EndToken
from tracker.errors import BadInput, Conflict, GoingError, NotFound, Rejected
from tracker.passwords import end_sessions, new_password
from tracker.sessions import log_out
from tracker.store import people, sessions, tokens
from tracker.store.people import Person
from tracker.tokens import new_token
from tracker.uids import new_uid, uid_of
from tracker.web import peoplewords
from tracker.web.forms import Answer, by_field, version_of
from tracker.web.request import back_to, change, now, reach, store, tell, visitor, who, zone
from tracker.words import say

pages = Blueprint("people", __name__)


@pages.get("/settings/people")
def page() -> str:
    """Everyone and everything that may come in."""
    return _show()


def _show(error: GoingError | None = None, *, secret: str = "", at: str = "") -> str:
    db, found = store().reading(), visitor()
    everyone, open_ = people.people(db), sessions.sessions(db, now())
    return render_template(
        "people.html",
        head=peoplewords.first_line(everyone, open_, logs_in=reach().logs_in),
        everyone=everyone,
        sessions=[peoplewords.session(each, everyone, now(), zone()) for each in open_],
        tokens=[peoplewords.token(each, everyone, now(), zone()) for each in tokens.tokens(db, now())],
        renewals=peoplewords.renewals(),
        mine=found.session_uid if found else "",
        form=request.form,
        problems=by_field(error, {"secret_uid": ""}) if error else {},
        at=at,
        secret=secret,
        uid=new_uid(now()),
        key_of=uid_of,
    )


def _or_again(at: str, error: BadInput | Rejected | Conflict) -> Answer:
    return _show(error, at=at), error.status


@pages.post("/settings/people/add")
def add() -> Answer:
    """Add a person."""
    form = request.form
    try:
        fields = {name: form.get(name, "") for name in ("uid", "name", "role")}
        change([build(AddPerson, fields)], say("Added. Give them a password to log in with."))
    except (BadInput, Rejected, Conflict) as error:
        return _or_again("add", error)
    return back_to("people.page")


@pages.post("/settings/people/<uid>/edit")
def edit(uid: str) -> Answer:
    """Rename a person, or give them another role."""
    form, person = request.form, _person(uid)
    fields = {"uid": form.get("uid", ""), "person_uid": uid, "version": version_of(form)}
    try:
        wanted = {"name": form.get("name", person.name), "role": form.get("role", person.role)}
        change([build(EditPerson, fields | wanted)], say("Saved."))
    except (BadInput, Rejected, Conflict) as error:
        return _or_again(uid, error)
    return back_to("people.page")


@pages.post("/settings/people/<uid>/remove")
def remove(uid: str) -> Answer:
    """Remove a person; their sessions end with it."""
    fields = {"uid": request.form.get("uid", ""), "person_uid": _person(uid).uid, "version": version_of(request.form)}
    try:
        change([build(RemovePerson, fields)], say("Removed; what they noted stays."))
    except Conflict as error:
        return _or_again(uid, error)
    end_sessions(store(), uid)
    return back_to("people.page")


@pages.post("/settings/people/<uid>/password")
def password(uid: str) -> Answer:
    """Set a password; whoever came in by the former one is out, but for who sets it."""
    form, found = request.form, visitor()
    try:
        command = new_password(store(), form.get("uid", ""), _person(uid), form.get("password", ""))
        change([command], say("The password is set. Other browsers have to log in again."))
    except (BadInput, Rejected, Conflict) as error:
        return _or_again(uid, error)
    end_sessions(store(), uid, but=found.session_uid if found else "")
    return back_to("people.page")


@pages.post("/settings/sessions/<uid>/end")
def end(uid: str) -> Response:
    """End the session of a browser."""
    log_out(store(), uid)
    tell(say("That browser has to log in again."))
    return back_to("people.page")


@pages.post("/settings/tokens/add")
def add_token() -> Answer:
    """Make a token, and show its secret this once."""
    form = request.form
    try:
        fields = {"name": form.get("token_name", ""), "scope": form.get("scope", ""), "expires": _expires()}
        command, secret = new_token(store(), form.get("uid", ""), fields)
        change([command], say("The token is made."))
    except (BadInput, Rejected, Conflict) as error:
        return _or_again("token", error)
    return _show(secret=secret, at="token")


def _expires() -> datetime | None:
    typed = request.form.get("days", "").strip()
    if not typed:
        return None
    if not typed.isdecimal() or not 0 < int(typed) <= peoplewords.MOST_DAYS:
        raise BadInput(
            say("“{typed}” is no number of days.", typed=typed),
            field="days",
            accepted=say("Give one from 1 to {most}, or leave it empty.", most=peoplewords.MOST_DAYS),
        )
    return now() + timedelta(days=int(typed))


@pages.post("/settings/tokens/<uid>/end")
def end_token(uid: str) -> Response:
    """End a token."""
    fields = {"uid": request.form.get("uid", ""), "token_uid": uid, "version": version_of(request.form)}
    change([build(EndToken, fields)], say("The token opens nothing any more."))
    return back_to("people.page")


@pages.post("/settings/secrets/renew")
def renew() -> Response:
    """Give one kind of secret anew."""
    tell(renewal.renew(store(), request.form.get("what", ""), who()))
    return back_to("people.page")


def _person(uid: str) -> Person:
    found = people.person(store().reading(), uid)
    if found is None:
        raise NotFound(say("There is no such person, or no longer."))
    return found
