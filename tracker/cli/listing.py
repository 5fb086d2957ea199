"""Every watch and how it stands, as a table."""

from argparse import Namespace

from tracker import phrases
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.figures import Figures
from tracker.web import telling
from tracker.web.reservewords import evidence
from tracker.words import say


def list_watches(args: Namespace) -> None:
    """Show nickname, state, hours left, wind-by and where the figures come from."""
    with opened(args) as collection:
        figures = collection.figures()
        if not figures:
            tell(say("There is no watch in {folder} yet. Add one: going add NICKNAME", folder=collection.folder))
            return
        head = [say(word) for word in ("watch", "state", "left", "wind by", "evidence")]
        show([head, *([*_row(each, collection)] for each in figures)])


def _row(each: Figures, collection: Opened) -> tuple[str, ...]:
    by = telling.wind_by(each)
    return (
        each.watch.nickname,
        telling.state(each),
        telling.left(each),
        phrases.when(by, collection.now, collection.zone) if by else "",
        evidence(each),
    )
