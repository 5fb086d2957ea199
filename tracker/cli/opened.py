"""A collection opened for one call."""

import sys
from argparse import Namespace
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from tracker import clock, derive
from tracker.brought import told
from tracker.cli.progress import on_terminal
from tracker.collection import open_collection, owner, preferences
from tracker.commands.base import Command, Origin, Who
from tracker.commands.door import submit
from tracker.config import data_folder
from tracker.core.roundtimes import Away
from tracker.errors import NotYet
from tracker.figures import Figures, survey
from tracker.speaking import speak_at_terminal
from tracker.store.absences import aways
from tracker.store.store import Store
from tracker.words import say


@dataclass(frozen=True, slots=True)
class Opened:
    """The collection, its folder, and who calls."""

    store: Store
    folder: Path
    who: Who

    @property
    def now(self) -> datetime:
        """The moment of the call."""
        return self.who.now

    @property
    def zone(self) -> ZoneInfo:
        """The owner's time zone."""
        return ZoneInfo(self.who.zone)

    @property
    def away(self) -> list[Away]:
        """When the owner is away."""
        return aways(self.store.reading())

    def figures(self) -> list[Figures]:
        """Every watch in use that has figures, worked out first where those kept do not hold; the others are told."""
        derive.catch_up(self.store, self.now, progress=on_terminal())
        found = survey(self.store, self.now)
        for each in found.waiting:
            sys.stderr.write(say("going: {sentence}", sentence=NotYet(each.watch.nickname, failed=each.failed)) + "\n")
        return found.known

    def own_figures(self) -> list[Figures]:
        """As `figures`, without customers' watches."""
        return [each for each in self.figures() if not each.watch.customers]

    def change(self, commands: Sequence[Command], done: str) -> None:
        """Apply the commands, say what was done and how to take it back."""
        brought = submit(self.store, commands, self.who).brought
        done = f"{done} {told(self.store.reading(), brought)}".rstrip()
        tell(say("{done} To take it back: going undo", done=done))


@contextmanager
def opened(args: Namespace, origin: Origin = "command line") -> Iterator[Opened]:
    """Open the collection a call is about."""
    folder, now = data_folder(args.data), clock.now()
    with closing(open_collection(folder, now)) as store:
        speak_at_terminal(preferences(store).values)
        yield Opened(store, folder, owner(store, origin, now))


def tell(sentence: str) -> None:
    """Say one line."""
    sys.stdout.write(f"{sentence}\n")
