"""From a form to a change, and back to the form, fields kept, where it can't be taken."""

from collections.abc import Callable, Iterable, Mapping

from flask import render_template, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from tracker.errors import BadInput, Conflict, GoingError, Rejected
from tracker.uids import new_uid
from tracker.web.request import now
from tracker.words import say, written

Form = MultiDict[str, str]
Answer = str | Response | tuple[str, int]

HIDDEN = frozenset({"", "uid", "watch_uid", "version", "replaces"})
"""Fields that no one can see: what is wrong with them is said above the form."""


def form_page(
    template: str,
    save: Callable[[Form], Response],
    *,
    fresh: Mapping[str, object],
    shown_as: Mapping[str, str] | None = None,
    **context: object,
) -> Answer:
    """Show a form, or save what came with it; what can't be taken brings it back with one sentence by each field.

    Args:
        template: gets `form`, `problems` (sentence by field; above the form under ""), and the `uid` of the change.
        save: makes the change and says where to go.
        fresh: the values the form opens with.
        shown_as: the form's name of a field where the command calls it otherwise.
        context: anything else for the template.
    """
    opened = opened_with(fresh)
    if request.method != "POST":
        return render_template(template, form=opened, problems={}, uid=new_uid(now()), **context)
    try:
        return save(request.form)
    except (BadInput, Rejected, Conflict) as error:
        problems = by_field(error, shown_as or {})
        if isinstance(error, Conflict):
            problems |= changed_since(request.form, opened)
        kept = {"form": request.form, "problems": problems, "uid": request.form.get("uid", "")}
        return render_template(template, **kept, **context), error.status


def changed_since(form: Form, stands: Form) -> dict[str, str]:
    """By field, what stands in the register now where the form says otherwise: saved again, the form wins."""
    return {
        name: say("By now it says “{value}”.", value=" ".join(values))
        for name, values in stands.lists()
        if form.getlist(name) != values and any(form.getlist(name) + values)
    }


def opened_with(values: Mapping[str, object]) -> Form:
    """Values of a register row as a form would send them."""
    form: Form = MultiDict()
    for name, value in values.items():
        form.setlist(name, [str(part) for part in value] if isinstance(value, tuple) else [_typed(value)])
    return form


def _typed(value: object) -> str:
    if value is None or value is False:
        return ""
    return "yes" if value is True else written(value, "g") if isinstance(value, float) else str(value)


def by_field(error: GoingError, shown_as: Mapping[str, str]) -> dict[str, str]:
    """The first problem of each field; under "" what belongs to none that can be seen."""
    found: dict[str, str] = {}
    for problem in error.problems if isinstance(error, Rejected) else [error]:
        field = shown_as.get(problem.field, problem.field)
        found.setdefault("" if field in HIDDEN else field, problem.sentence)
    return found


def values_of(form: Form, names: Iterable[str], *, flags: Iterable[str] = ()) -> dict[str, object]:
    """The fields a command has by these names, as typed; a tick that is missing means no."""
    values: dict[str, object] = {name: " ".join(form.getlist(name)) for name in names if name in form}
    return values | {flag: bool(form.get(flag)) for flag in flags}


def version_of(form: Form) -> int | None:
    """The version of the row that the sender saw; none where it is no number."""
    typed = form.get("version", "")
    return int(typed) if typed.isdecimal() else None
