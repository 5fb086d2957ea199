"""Customers' watches: which are in, and what was promised for when? And one handed back."""

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from tracker.commands.build import build
from tracker.commands.register import HandBack
from tracker.store import register
from tracker.uids import new_uid, uid_of
from tracker.web import customerview
from tracker.web.request import back_to, change, now, store, zone
from tracker.web.watch import found
from tracker.words import say

pages = Blueprint("customers", __name__)


@pages.get("/collection/customers")
def page() -> str:
    """Customers' watches, as the address asks for them."""
    watches, wanted = register.watches(store().reading()), customerview.wanted(request.args)
    held = customerview.jobs(watches, wanted.where)
    return render_template(
        "customers.html",
        head=customerview.first_line(held, wanted.where, now(), zone()),
        held=held,
        rows=customerview.rows(watches, wanted),
        wanted=wanted,
        view=customerview,
        key=new_uid(now()),
        key_of=uid_of,
        now=now(),
        zone=zone(),
    )


@pages.post("/watch/<uid>/hand-back")
def hand_back(uid: str) -> Response:
    """It went out, today if no day is given."""
    watch = found(uid)
    day = request.form.get("went_out") or now().astimezone(zone()).date()
    command = build(HandBack, {"uid": request.form.get("uid", ""), "watch_uid": uid, "went_out": day})
    change([command], say("{nickname} went out.", nickname=watch.nickname))
    return back_to("watch.page", uid=uid)
