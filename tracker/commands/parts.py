"""The parts of a service, as people and programs give them."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from tracker.core.barrel.line import Strip
from tracker.core.part import Part, SpringNotRead, ThickerThanHigh, checked, part_of, spring_of

MOST_PARTS = 40
"""No service has more."""
LONGEST = 120


def _parts(typed: object) -> object:
    """Lines of text, one a part; or a list of lines and of mappings with `what`, `before` and `after`."""
    if typed is None:
        return ()
    items = typed.splitlines() if isinstance(typed, str) else typed
    if not isinstance(items, list | tuple) or len(items) > MOST_PARTS:
        raise PydanticCustomError("parts", "parts", {"most": MOST_PARTS})
    return tuple(_read(items))


def _empty(item: object) -> bool:
    """A line or a row of fields in which nothing stands: it counts as a number, and for nothing else."""
    if isinstance(item, Mapping):
        return bool(item) and all(isinstance(text, str) and not text.strip() for text in item.values())
    return isinstance(item, str) and not item.strip()


def _read(items: Sequence[Any]) -> Iterator[Part]:
    for n, item in enumerate(items, start=1):
        if _empty(item):
            continue
        try:
            part = _part(item)
        except ThickerThanHigh as error:
            raise PydanticCustomError("spring_thicker_than_high", "spring", {"n": n, "line": error.line}) from error
        except SpringNotRead as error:
            raise PydanticCustomError("not_a_spring", "spring", {"n": n, "line": error.line}) from error
        except (TypeError, ValueError) as error:
            raise PydanticCustomError("parts", "parts", {"most": MOST_PARTS}) from error
        if not part.what:
            raise PydanticCustomError("part_without_name", "part", {"n": n})
        if len(part.what) > LONGEST or not part.what.isprintable():
            raise PydanticCustomError("part_name", "part", {"n": n, "most": LONGEST})
        yield part


def _part(item: object) -> Part:
    if isinstance(item, Part):
        return item
    if isinstance(item, str):
        return part_of(item)
    if not isinstance(item, Mapping) or not item.keys() <= {"what", "before", "after"}:
        raise TypeError
    what, before, after = (
        " ".join(str(item.get("what", "")).split()),
        _spring(item.get("before")),
        _spring(item.get("after")),
    )
    return part_of(what) if before is after is None else Part(what, before, after)


def _spring(typed: object) -> Strip | None:
    if typed is None or isinstance(typed, Strip):
        return typed
    if isinstance(typed, str):
        return spring_of(typed)
    if not isinstance(typed, Mapping):
        raise TypeError
    return checked(Strip(**{name: None if value is None else float(value) for name, value in typed.items()}))  # type: ignore[arg-type]  # told by its TypeError


Parts = Annotated[tuple[Part, ...], BeforeValidator(_parts)]
