"""A watch's evidence as a document of the file form, for whoever wants to reckon with it elsewhere."""

from collections.abc import Sequence
from typing import Any

from tracker.core.reserve import Run
from tracker.core.watch import ReserveClass


def document(
    runs: Sequence[Run],
    *,
    now_years: float,
    stated_h: float | None,
    reserve_class: ReserveClass | None,
    seen_going_h: float = 0.0,
) -> dict[str, Any]:
    """What `tracker.fileform.reserve.answer` takes and gives the same figures for, to the last digit."""
    form: dict[str, Any] = {"now_years": now_years, "runs": [_run(run) for run in runs]}
    if stated_h is not None:
        form["stated_h"] = stated_h
    elif reserve_class is not None:
        form["reserve_class"] = reserve_class
    if seen_going_h:
        form["seen_going_h"] = seen_going_h
    return form


def _run(run: Run) -> dict[str, Any]:
    kind, spans = run.evidence.kind, run.evidence.spans_h
    told: dict[str, Any] = {"age_years": run.age_years}
    if kind == "none":
        return told | {"unknown": True}
    if kind == "one_of":
        return told | {"one_of_h": [list(span) for span in spans]}
    ((low, high),) = spans
    return told | {
        f"{kind}_h": {"exact": low, "at_least": low, "at_most": high, "between": [low, high]}[kind],
    }
