"""The sheet that is printed for a customer: what was done to this watch, and how does it go now?"""

from flask import Blueprint, render_template, request

from tracker.asked import threshold_of
from tracker.cues import finding
from tracker.figures import Figures, look
from tracker.formerly import before_service
from tracker.store import services
from tracker.store.cues import open_cues
from tracker.store.readings import readings
from tracker.web import papercourse, serviceview, sheetview
from tracker.web.bookview import part_said
from tracker.web.request import line_for, now, preferences, store, zone
from tracker.web.serviceview import Subject, word_of

pages = Blueprint("sheet", __name__)


@pages.get("/watch/<uid>/sheet")
def page(uid: str) -> str:
    """The sheet with the parts that the address asks for."""
    line_for(uid)
    figures, settings, shown = look(store(), uid, now()), preferences().values, sheetview.chosen(request.args)
    each, watch, threshold = figures if isinstance(figures, Figures) else None, figures.watch, threshold_of(settings)
    before = before_service(watch, figures.history, threshold) if "reserve" in shown else None
    return render_template(
        "sheet.html",
        watch=watch,
        each=each,
        title=sheetview.title(watch),
        workshop=settings.workshop_name,
        heading=sheetview.heading(watch, settings.workshop_name),
        parts=sheetview.PARTS,
        shown=shown,
        service=sheetview.newest(services.services(store().reading(), uid)),
        part_said=part_said,
        sittings=sheetview.sittings(readings(store().reading(), [uid]).get(uid, [])) if "readings" in shown else [],
        reserves=sheetview.reserves(each, watch, before),
        paper=papercourse.paper(each, threshold, now(), zone()) if each and "picture" in shown else None,
        runs=sheetview.newest_runs(each, now(), zone()) if each and "runs" in shown else [],
        due=serviceview.due_on_watch(each, settings, now(), zone()) if each else "",
        subject=_subject(each) if each and "odds" in shown else None,
        view=serviceview,
        settings=settings,
        now=now(),
        zone=zone(),
    )


def _subject(each: Figures) -> Subject:
    found = finding(each, preferences().values, now())
    cue = open_cues(store().reading(), [each.watch.uid]).get(each.watch.uid)
    return Subject(each, found, cue, word_of(found, cue, now()))
