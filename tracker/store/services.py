"""Services with their parts, as rows and as the core's values."""

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from sqlite_utils import Database

from tracker.core.barrel.line import Strip
from tracker.core.part import Part
from tracker.store.moments import from_text
from tracker.store.rows import all_rows

Row = dict[str, Any]
DIMENSIONS = {
    "height_mm": "height_mm",
    "thickness_mm": "thickness_mm",
    "length_mm": "length_mm",
    "barrel_mm": "drum_diameter_mm",
}
"""The column of each dimension after `before_` or `after_`, and the name the core has for it."""


def part_columns(part: Part, ordinal: int) -> Row:
    """A part as columns of its row, but for its uid and its service's."""
    return {
        "ordinal": ordinal,
        "what": part.what,
        **{
            f"{when}_{column}": getattr(spring, name)
            for when, spring in (("before", part.before), ("after", part.after))
            if spring is not None
            for column, name in DIMENSIONS.items()
        },
    }


def _spring(row: Mapping[str, Any], when: str) -> Strip | None:
    values = {name: row[f"{when}_{column}"] for column, name in DIMENSIONS.items()}
    return None if values["height_mm"] is None else Strip(**values)


def parts(db: Database, service_uid: str | None = None) -> dict[str, list[Part]]:
    """The parts of one service, or of all, by its uid; also of services that were taken out."""
    only, asked = ("AND service_uid = ?", [service_uid]) if service_uid else ("", [])
    found: dict[str, list[Part]] = defaultdict(list)
    for row in all_rows(
        db,
        f"SELECT * FROM service_part WHERE voided_by IS NULL {only} ORDER BY service_uid, ordinal",  # noqa: S608 -- a constant
        asked,
    ):
        found[row["service_uid"]].append(Part(row["what"], _spring(row, "before"), _spring(row, "after")))
    return found


def services(db: Database, watch_uid: str | None = None) -> list[Row]:
    """Every service that stands, or those of one watch, newest first, with `nickname`, `at` and `parts`."""
    only, asked = ("AND watch.uid = ?", [watch_uid]) if watch_uid else ("", [])
    rows = all_rows(
        db,
        "SELECT service.*, watch.nickname FROM service JOIN watch ON watch.uid = watch_uid "  # noqa: S608 -- a constant
        f"WHERE service.voided_by IS NULL AND watch.voided_by IS NULL {only} ORDER BY at_utc DESC, noted_at_utc DESC",
        asked,
    )
    known = parts(db)
    return [row | {"at": from_text(row["at_utc"]), "parts": known.get(row["uid"], [])} for row in rows]
