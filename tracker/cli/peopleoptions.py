"""What the commands about people, passwords, tokens and secrets take."""

import argparse
from argparse import ArgumentParser

from tracker.words import say

ROLES = ("owner", "helper")
SCOPES = ("read", "log", "all")
SECRETS = ("sessions", "links", "calendar", "tokens")


def person(parser: ArgumentParser) -> None:
    """Every act on people."""
    acts = parser.add_subparsers(metavar="ACT", dest="act", required=True)
    _act(acts, "person list", "tell who is there")
    role = say("an owner does everything; a helper winds, looks and notes it (helper if left out)")
    add = _named(_act(acts, "person add", "add someone; give them a password by going password"))
    add.add_argument("--role", choices=ROLES, default="helper", help=role)
    change = _named(_act(acts, "person role", "give them another role"))
    change.add_argument("role", metavar="ROLE", choices=ROLES, help=say("owner or helper"))
    _named(_act(acts, "person remove", "remove them; what they noted stays"))


def password(parser: ArgumentParser) -> None:
    """Whose password."""
    parser.add_argument("--person", metavar="NAME", default="", help=say("whose (the owner's if left out)"))


def token(parser: ArgumentParser) -> None:
    """Every act on tokens."""
    acts = parser.add_subparsers(metavar="ACT", dest="act", required=True)
    _act(acts, "token list", "tell which there are")
    add = _named(_act(acts, "token add", "make one and write it down this once"))
    opens = say("what it opens: read; log (reads, notes winds and sightings); all (read if left out)")
    add.add_argument("--scope", choices=SCOPES, default="read", help=opens)
    add.add_argument("--days", type=int, metavar="N", help=say("ends by itself after so many days (never if left out)"))
    _named(_act(acts, "token end", "end one"))


def renew(parser: ArgumentParser) -> None:
    """Which secrets."""
    which = say("every browser's session, links in messages, the calendar's address, or tokens")
    parser.add_argument("what", metavar="WHAT", choices=SECRETS, help=which)


def _act(acts: "argparse._SubParsersAction[ArgumentParser]", name: str, told: str) -> ArgumentParser:
    said = say(told)
    return acts.add_parser(name.partition(" ")[2], help=said, description=said, epilog="", prog=f"going {name}")


def _named(parser: ArgumentParser) -> ArgumentParser:
    parser.add_argument("name", metavar="NAME", help=say("what it is called"))
    return parser
