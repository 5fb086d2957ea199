"""The parser of `going`, made from the table of its commands."""

import argparse
from collections.abc import Callable
from importlib import import_module
from typing import Any, NoReturn, cast

from tracker.cli.usage import bad_call
from tracker.cli.verbs import VERBS, Verb
from tracker.words import say


class _Formatter(argparse.RawDescriptionHelpFormatter):
    def add_usage(self, usage: Any, actions: Any, groups: Any, prefix: str | None = None) -> None:
        super().add_usage(usage, actions, groups, say("usage: ") if prefix is None else prefix)


class Parser(argparse.ArgumentParser):
    """An argument parser that raises our errors and lets no option be shortened: `--s` could be three of them."""

    def __init__(self, *, prog: str, description: str, epilog: str) -> None:
        super().__init__(
            prog=prog,
            description=description,
            epilog=epilog,
            formatter_class=_Formatter,
            allow_abbrev=False,
            add_help=False,
        )
        # Argparse's own words, for which it would ask gettext.
        self._positionals.title, self._optionals.title = say("positional arguments"), say("options")
        self.add_argument("-h", "--help", action="help", help=say("show this help message and exit"))

    def error(self, message: str) -> NoReturn:
        """Raise it.

        Raises:
            BadCall: always.
        """
        raise bad_call(message, self.prog)


def make_parser() -> Parser:
    """The whole command line."""
    parser = Parser(
        prog="going",
        description=say("Keeps mechanical watches going: what to wind, when, and which one is losing its reserve."),
        epilog=_example("going wound Night --was-going"),
    )
    _add_data(parser, default=None)
    parser.set_defaults(run="")
    commands = parser.add_subparsers(metavar="COMMAND", title=say("commands"))
    for verb in VERBS:
        _add(commands, verb)
    return parser


def run(args: argparse.Namespace) -> int:
    """Do what a call says; without a command, tell which there are."""
    if not args.run:
        make_parser().print_help()
        return 0
    module, _, name = args.run.partition(":")
    action = cast("Callable[[argparse.Namespace], int | None]", getattr(import_module(module), name))
    return action(args) or 0


def _add(commands: "argparse._SubParsersAction[Parser]", verb: Verb) -> None:
    parser = commands.add_parser(
        verb.name,
        help=say(verb.help),
        description=say(verb.help),
        epilog=_example(verb.example),
        prog=f"going {verb.name}",
    )
    verb.arguments(parser)
    _add_data(parser, default=argparse.SUPPRESS)
    parser.set_defaults(run=verb.run)


def _add_data(parser: argparse.ArgumentParser, *, default: str | None) -> None:
    # On both sides of the command; the second must not wipe out the first.
    parser.add_argument(
        "--data",
        metavar="DIR",
        default=default,
        help=say("the folder of the collection (else GOING_DATA, else the place this system keeps a user's data in)"),
    )


def _example(call: str) -> str:
    return say("example:\n  {call}", call=call)
