"""What `going channel` takes, act by act."""

from argparse import ArgumentParser

from tracker.words import say

ACTS = (
    ("add", "add a channel; its address is asked for, or read from the first line of the input"),
    ("test", "send a test message"),
    ("pause", "send nothing until it goes on"),
    ("go-on", "let it go on; what is still true is told then"),
    ("remove", "remove it; its address is forgotten in a day"),
)


def channel(parser: ArgumentParser) -> None:
    """Every act."""
    acts = parser.add_subparsers(metavar="ACT", dest="act", required=True)
    told = say("tell every channel and how it is")
    acts.add_parser("list", help=told, description=told, epilog="", prog="going channel list")
    for name, help_ in ACTS:
        act = acts.add_parser(name, help=say(help_), description=say(help_), epilog="", prog=f"going channel {name}")
        act.add_argument("name", metavar="NAME", help=say("what you call it"))
