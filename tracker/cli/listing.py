"""Every watch and how it stands, as a table."""

from argparse import Namespace

from tracker import phrases
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.core.watch import Watch
from tracker.figures import Figures
from tracker.web import customerview, telling
from tracker.web.reservewords import evidence
from tracker.words import say


def list_watches(args: Namespace) -> None:
    """Show nickname, state, hours left, wind-by and where the figures come from."""
    with opened(args) as collection:
        figures = collection.figures()
        if not figures:
            tell(say("There is no watch in {folder} yet. Add one: going add NICKNAME", folder=collection.folder))
            return
        own = [each for each in figures if not each.watch.customers]
        jobs = customerview.jobs([each.watch for each in figures], customerview.IN)
        if own:
            head = [say(word) for word in ("watch", "state", "left", "wind by", "evidence")]
            show([head, *([*_row(each, collection)] for each in own)])
        if jobs:
            tell(customerview.first_line(jobs, customerview.IN, collection.now, collection.zone))
            told = {each.watch.uid: telling.state(each) for each in figures}
            show([_job_head(), *([*_job(watch), told[watch.uid]] for watch in jobs)])


def _job_head() -> list[str]:
    return [say(word) for word in ("customer's watch", "job", "belongs to", "promised for", "state")]


def _job(watch: Watch) -> tuple[str, ...]:
    promised = phrases.date_of(watch.promised_for) if watch.promised_for else ""
    return watch.nickname, watch.job_number, watch.belongs_to, promised


def _row(each: Figures, collection: Opened) -> tuple[str, ...]:
    by = telling.wind_by(each)
    return (
        each.watch.nickname,
        telling.state(each),
        telling.left(each),
        phrases.when(by, collection.now, collection.zone) if by else "",
        evidence(each),
    )
