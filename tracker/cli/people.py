"""People, passwords, tokens and secrets on the command line. A password is never an argument: those stay in histories."""

import sys
from argparse import Namespace
from datetime import timedelta
from getpass import getpass

from tracker import phrases, renewal
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.person import AddPerson, EditPerson, RemovePerson
from tracker.commands.token import EndToken
from tracker.errors import BadInput, NotFound
from tracker.passwords import end_sessions, new_password, refuse_weak
from tracker.store import people, tokens
from tracker.store.people import Person
from tracker.tokens import new_token
from tracker.uids import new_uid
from tracker.words import say


def person(args: Namespace) -> None:
    """Do one act on people."""
    with opened(args) as collection:
        _PERSON[args.act](args, collection)


def password(args: Namespace) -> None:
    """Set a password; whoever came in by the former one is out."""
    with opened(args) as collection:
        meant = _meant(collection, args.person) if args.person.strip() else _owner(collection)
        _set_password(collection, meant)


def token(args: Namespace) -> None:
    """Do one act on tokens."""
    with opened(args) as collection:
        _TOKEN[args.act](args, collection)


def renew(args: Namespace) -> None:
    """Give one kind of secret anew."""
    with opened(args) as collection:
        tell(renewal.renew(collection.store, args.what, collection.who))


def ask_first_password(args: Namespace) -> None:
    """Before the first start that others can reach: the owner's password, asked at the terminal, if there is one."""
    if not sys.stdin.isatty():
        return
    with opened(args) as collection:
        if not people.anyone_can_log_in(collection.store.reading()):
            tell(say("Others will reach these pages: choose a password to log in with."))
            _set_password(collection, _owner(collection))


def _set_password(collection: Opened, meant: Person) -> None:
    command = new_password(collection.store, new_uid(collection.now), meant, _asked())
    submit(collection.store, [command], collection.who)
    end_sessions(collection.store, meant.uid)
    tell(say("The password of {name} is set. Browsers have to log in again.", name=meant.name))


def _asked() -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass(say("New password (it is not shown): "))
    refuse_weak(first)
    if getpass(say("Once more: ")) != first:
        raise BadInput(say("The two differ; nothing was changed."), field="password")
    return first


def _meant(collection: Opened, name: str) -> Person:
    found = people.person_named(collection.store.reading(), name)
    if found is None:
        raise NotFound(say("Nobody is called “{name}”. going person list tells who is there.", name=name))
    return found


def _owner(collection: Opened) -> Person:
    return next(each for each in people.people(collection.store.reading()) if each.uid == collection.who.person_uid)


def _list(_: Namespace, collection: Opened) -> None:
    found = people.people(collection.store.reading())
    rows = [[each.name, each.role, say("set") if each.secret_uid else say("none")] for each in found]
    show([[say("name"), say("role"), say("password")], *rows])


def _add(args: Namespace, collection: Opened) -> None:
    command = build(AddPerson, {"name": args.name, "role": args.role})
    said = say("Added: {name}. A password to log in with: going password --person {name}", name=command.name)
    collection.change([command], said)


def _role(args: Namespace, collection: Opened) -> None:
    found = _meant(collection, args.name)
    fields = {"person_uid": found.uid, "name": found.name, "role": args.role, "version": found.version}
    collection.change([build(EditPerson, fields)], say("{name}: {role}.", name=found.name, role=args.role))


def _remove(args: Namespace, collection: Opened) -> None:
    found = _meant(collection, args.name)
    fields = {"person_uid": found.uid, "version": found.version}
    collection.change([build(RemovePerson, fields)], say("Removed: {name}; what they noted stays.", name=found.name))
    end_sessions(collection.store, found.uid)


def _list_tokens(_: Namespace, collection: Opened) -> None:
    found, now, zone = tokens.tokens(collection.store.reading(), collection.now), collection.now, collection.zone
    if not found:
        tell(say("There is no token. Make one: going token add NAME"))
        return
    names = {each.uid: each.name for each in people.people(collection.store.reading())}
    rows = [
        [
            each.name,
            each.scope,
            names.get(each.person_uid, ""),
            phrases.when(each.used, now, zone) if each.used else say("never"),
            phrases.when(each.expires, now, zone) if each.expires else say("never"),
        ]
        for each in found
    ]
    show([[say("token"), say("opens"), say("for"), say("used"), say("ends")], *rows])


def _add_token(args: Namespace, collection: Opened) -> None:
    expires = None if args.days is None else collection.now + timedelta(days=args.days)
    fields = {"name": args.name, "scope": args.scope, "expires": expires}
    command, secret = new_token(collection.store, new_uid(collection.now), fields)
    submit(collection.store, [command], collection.who)
    sys.stderr.write(say("The token is not shown again:") + "\n")
    tell(secret)


def _end_token(args: Namespace, collection: Opened) -> None:
    found = tokens.tokens(collection.store.reading(), collection.now)
    meant = next((each for each in found if each.name.casefold() == args.name.strip().casefold()), None)
    if meant is None:
        raise NotFound(say("No token is called “{name}”. going token list tells which there are.", name=args.name))
    said = say("Ended: {name}.", name=meant.name)
    collection.change([build(EndToken, {"token_uid": meant.uid, "version": meant.version})], said)


_PERSON = {"list": _list, "add": _add, "role": _role, "remove": _remove}
_TOKEN = {"list": _list_tokens, "add": _add_token, "end": _end_token}
