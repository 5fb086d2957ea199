"""Which round a watch is wound in next, where a person says so and not the plan."""

from tracker.commands.base import Command, Who
from tracker.commands.fields import Moment, Uid
from tracker.errors import BadInput, NotFound
from tracker.store import choices, register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say


class ChooseRound(Command):
    """Wind this watch next in the round `at`: it holds until the watch is wound or the round has passed."""

    watch_uid: Uid
    at: Moment

    def apply(self, writer: Writer, who: Who) -> None:
        if register.watch(writer.db, self.watch_uid) is None:
            raise NotFound(say("There is no such watch, or no longer."))
        if self.at < who.now:
            raise BadInput(say("This round has passed."), field="at", accepted=say("Choose one that is to come."))
        _forget(writer, self.watch_uid)
        writer.insert(
            "chosen_round",
            {
                "uid": self.uid,
                "watch_uid": self.watch_uid,
                "wind_uid": choices.newest_wind(writer.db, self.watch_uid),
                "round_utc": to_text(self.at),
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
            },
        )


class LetPlanDecide(Command):
    """Leave it to the plan again when this watch is wound."""

    watch_uid: Uid

    def apply(self, writer: Writer, _who: Who) -> None:
        if not _forget(writer, self.watch_uid):
            raise NotFound(say("No round is chosen for this watch; the plan decides."))


def _forget(writer: Writer, watch_uid: str) -> bool:
    former = choices.standing_choice(writer.db, watch_uid)
    if former is not None:
        writer.void("chosen_round", former)
    return former is not None
