"""What is kept of a watch's barrel: shown with its sums, or changed."""

import sys
from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields

from tracker import barrelwords, cautionwords, phrases
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened, tell
from tracker.commands.barrel import FIELD_NAMES, KeepBarrel
from tracker.commands.build import build
from tracker.core.barrel.kept import Kept, barrel_of, hours_of, missing
from tracker.core.barrel.sums import FIGURES, sums
from tracker.core.watch import Watch
from tracker.errors import BadInput, Rejected
from tracker.store.barrels import KeptRow, barrel_of_watch
from tracker.words import say


def kept_barrel(args: Namespace) -> None:
    """Change what is said to be changed, then show what is kept and what it comes to."""
    with opened(args) as collection:
        (watch,) = watches_meant(collection, [args.name])
        row = barrel_of_watch(collection.store.reading(), watch.uid)
        if args.set:
            _change(args.set, watch, row, collection)
            row = barrel_of_watch(collection.store.reading(), watch.uid)
        if row is None:
            tell(say("Nothing is kept of the barrel of {nickname} yet.", nickname=watch.nickname))
        elif args.json:
            _answer(row.kept)
        else:
            sys.stdout.writelines(f"{line}\n" for line in _lines(watch, row.kept))


def _change(pairs: list[str], watch: Watch, row: KeptRow | None, collection: Opened) -> None:
    told = {} if row is None else {name: getattr(row.kept, name) for name in FIELD_NAMES}
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if name not in FIELD_NAMES or not equals:
            raise BadInput(
                say("“{pair}” is no field with its value.", pair=pair),
                field="set",
                accepted=say("Give NAME=VALUE; the names are {names}.", names=", ".join(FIELD_NAMES)),
            )
        told[name] = value
    given = {name: value for name, value in told.items() if value not in {None, ""}}
    with _named():
        command = build(KeepBarrel, given | {"watch_uid": watch.uid, "version": row.version if row else None})
        collection.change([command], say("The barrel of {nickname} is kept.", nickname=watch.nickname))


@contextmanager
def _named() -> Iterator[None]:
    """Say what can't be taken by the name that --set has for it."""
    try:
        yield
    except Rejected as rejected:
        raise Rejected([_by_name(each) for each in rejected.problems]) from rejected
    except BadInput as bad:
        raise _by_name(bad) from bad


def _by_name(bad: BadInput) -> BadInput:
    return BadInput(say("{name}: {what}", name=bad.field, what=bad.what), accepted=bad.accepted)


def _answer(kept: Kept) -> None:
    """The kept fields, and the sums where all sizes are known."""
    from tracker.cli.forms import write  # noqa: PLC0415 -- as every form

    answer = {field.name: getattr(kept, field.name) for field in fields(Kept)}
    if kept.works == "going barrel" and not missing(kept):
        found = sums(barrel_of(kept))
        known = [name for name in FIGURES if name != "reserve_h" or hours_of(kept) is not None]
        answer["sums"] = {name: float(getattr(found, name)) for name in known}
    write(answer)


def _lines(watch: Watch, kept: Kept) -> Iterator[str]:
    if kept.works != "going barrel" or watch.wound_by == "weights":
        yield say("{nickname} has no barrel sum.", nickname=watch.nickname)
        return
    if missing(kept):
        names = phrases.listed([say(barrelwords.FIELDS[name]) for name in missing(kept)])
        yield say("No sum yet; still needed: {names}.", names=names)
        return
    barrel = barrel_of(kept)
    found = sums(barrel)
    known = hours_of(kept) is not None
    yield barrelwords.summary(found) if known else say("How long a turn of the barrel lasts is not known.")
    yield from (barrelwords.warning(each) for each in found.warnings)
    rows = barrelwords.figures(found)
    wide = max(len(name) for name, _ in rows)
    yield from (f"{name:{wide}}  {figure}" for name, figure in (rows if known else rows[:-1]))
    yield from barrelwords.assumptions(barrel, found)
    yield cautionwords.wound_spring()
