"""The Barrel page: what ought it to last? A free calculator, and for a watch with what is kept of its barrel."""

from flask import Blueprint, render_template, request, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from tracker.commands.barrel import FIELD_NAMES, KeepBarrel
from tracker.commands.build import build
from tracker.core.reserve import Band
from tracker.core.watch import Watch
from tracker.csvfile.springs import COLUMNS
from tracker.errors import BadInput, Conflict, NotFound, Rejected
from tracker.figures import Figures, look
from tracker.plots.torque import Run, torque
from tracker.store import barrels, register
from tracker.uids import new_uid
from tracker.web import barrelview, barrelways, fitview, pictures, safety
from tracker.web.barrelview import Shown
from tracker.web.behind import behind
from tracker.web.forms import Form, by_field, version_of
from tracker.web.request import back_to, change, line_for, now, store
from tracker.web.reservewords import little_seen
from tracker.words import say

pages = Blueprint("barrel", __name__)


@pages.route("/barrel", methods=["GET", "POST"])
def page() -> str:
    """The sums of what the address says, or of what is kept of the watch it names; a list of springs is sent by POST."""
    typed = MultiDict(request.form if request.method == "POST" else request.args)
    watch = _watch(typed.get("watch", ""))
    kept = barrels.barrel_of_watch(store().reading(), watch.uid) if watch else None
    form: Form = typed
    if kept and not barrelview.says_something(typed):
        form = barrelview.opened(kept.kept)
        form.update({name: typed[name] for name in barrelways.FIELDS if typed.get(name)})
    return _show(barrelview.shown(_with_beat(form, watch)), watch, kept)


@pages.post("/barrel/keep")
def keep() -> Response | tuple[str, int]:
    """Keep what the form says as the barrel of a watch."""
    watch = _watch(request.form.get("watch", ""))
    if watch is None:
        raise NotFound(say("There is no such watch, or no longer."))
    said = {name: request.form[name] for name in FIELD_NAMES if request.form.get(name)}
    hidden = {"uid": request.form.get("uid", ""), "watch_uid": watch.uid, "version": version_of(request.form)}
    try:
        change([build(KeepBarrel, said | hidden)], say("The barrel of {nickname} is kept.", nickname=watch.nickname))
    except (BadInput, Rejected, Conflict) as error:
        found = barrelview.shown(MultiDict(request.form))
        found.problems |= by_field(error, {})
        return _show(found, watch, barrels.barrel_of_watch(store().reading(), watch.uid)), error.status
    return back_to("barrel.page", watch=watch.uid)


def _watch(uid: str) -> Watch | None:
    if not uid:
        return None
    watch = register.watch(store().reading(), uid)
    if watch is None:
        raise NotFound(say("There is no such watch, or no longer."))
    return watch


def _with_beat(form: Form, watch: Watch | None) -> Form:
    """The beat of the watch, where none is typed."""
    if watch is not None and watch.vibrations_per_hour and not form.get("from_vph"):
        form["from_vph"] = str(watch.vibrations_per_hour)
    return form


def _show(found: Shown, watch: Watch | None, kept: barrels.KeptRow | None) -> str:
    safety.allow_pictures()
    observed = _observed(watch) if watch else None
    runs = [Run(way.name, way.barrel, way.found) for way in found.ways]
    return render_template(
        "barrel.html",
        head=barrelview.first_line(found, watch, observed),
        beside_log=barrelview.beside_log(found, observed),
        notes=list(barrelview.notes(found, watch)),
        found=found,
        form=found.form,
        problems=found.problems,
        watch=watch,
        kept=kept,
        view=barrelview,
        drawn=torque(runs, in_hours=found.hours_known) if runs else None,
        range=fitview.range_rows(runs[0].barrel, hours_known=found.hours_known) if runs else [],
        listed=_listed(found),
        columns=COLUMNS,
        watches=register.watches(store().reading()) if watch is None else [],
        others=_others(watch),
        pictures=pictures,
        behind=behind,
        link=lambda fields: url_for("barrel.page", watch=watch.uid if watch else None, **fields),
        key=new_uid(now()),
    )


def _others(watch: Watch | None) -> list[Watch]:
    """The other watches of which a barrel is kept."""
    db = store().reading()
    found = [register.watch(db, uid) for uid in barrels.kept_barrels(db)]
    return [each for each in found if each is not None and (watch is None or each.uid != watch.uid)]


def _observed(watch: Watch) -> Band | None:
    """The reserve as the log knows it; None where it knows too little."""
    line_for(watch.uid)
    each = look(store(), watch.uid, now())
    return each.estimate.reserve_h if isinstance(each, Figures) and not little_seen(each) else None


def _listed(found: Shown) -> fitview.Listed | None:
    """The owner's list against this barrel, if one was sent."""
    file = request.files.get("file")
    try:
        data = fitview.sent(request.form.get("springs", ""), file.stream.read(fitview.MOST_BYTES + 1) if file else b"")
    except BadInput as bad:
        return fitview.Listed([], [bad.sentence])
    if data is None or not found.ways:
        return None
    return fitview.listed(found.ways[0].barrel, data, hours_known=found.hours_known)
