"""Names as typed after a command, as watches."""

from collections.abc import Sequence

from tracker.cli.opened import Opened
from tracker.core.watch import Watch
from tracker.errors import BadInput, GoingError, NotFound
from tracker.nicknames import meant
from tracker.store import register
from tracker.words import say

LISTED = 12


def watches_meant(collection: Opened, names: Sequence[str]) -> list[Watch]:
    """The watches these names mean, each once.

    Raises:
        NotFound: a name means none.
        BadInput: a name means several.
    """
    db = collection.store.reading()
    watches = register.watches(db)
    found: dict[str, Watch] = {}
    for name in names:
        fitting = meant(watches, name)
        if not fitting:
            raise _unknown(name, names, watches, register.watches(db, archived=True), collection)
        if len(fitting) > 1:
            raise BadInput(
                say("“{name}” may mean {watches}.", name=name, watches=_listed(fitting, say(" or "))),
                accepted=say("Write more of the nickname."),
            )
        found[fitting[0].uid] = fitting[0]
    return list(found.values())


def _unknown(
    name: str, names: Sequence[str], watches: Sequence[Watch], archived: Sequence[Watch], collection: Opened
) -> GoingError:
    if not watches and not archived:
        return NotFound(say("There is no watch in {folder} yet. Add one: going add NICKNAME", folder=collection.folder))
    put_away = meant(archived, name)
    if len(put_away) == 1:
        return NotFound(say("{nickname} is put away. Bring it back on its page first.", nickname=put_away[0].nickname))
    whole = " ".join(names)
    if len(names) > 1 and meant(watches, whole):
        return NotFound(
            say(
                'No nickname begins with “{name}”. If you mean one watch, put it in quotes: "{whole}"',
                name=name,
                whole=whole,
            )
        )
    return NotFound(
        say("No nickname begins with “{name}”. There are: {watches}.", name=name, watches=_listed(watches, ", "))
    )


def _listed(watches: Sequence[Watch], last: str) -> str:
    names = [watch.nickname for watch in watches]
    if len(names) > LISTED:
        return say("{names} and {n} more", names=", ".join(names[:LISTED]), n=len(names) - LISTED)
    return last.join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else ", ".join(names)
