"""Where the owner settles what a sensor left open."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.heard import AnswerSensor
from tracker.commands.log import LogWind
from tracker.commands.sensor import TakeOffSensor
from tracker.core.when import NOW_WITHIN_MIN
from tracker.errors import BadInput
from tracker.uids import uid_of
from tracker.web import watch
from tracker.web.forms import Form
from tracker.web.heardwords import ANSWERS
from tracker.web.request import back_to, change, zone
from tracker.words import say

pages = Blueprint("heard", __name__)

WOUND: dict[str, dict[str, object]] = {
    "wound-going": {"found": "going", "hands": "left"},
    "wound-stopped": {"found": "stopped"},
    "wound-part": {"amount": "part"},
}
"""What a winding that a sensor suggested becomes in the log."""


@pages.post("/watch/<uid>/heard")
def answer(uid: str) -> Response:
    """Note what was so: a winding, or a word that points at what the sensor told."""
    nickname = watch.found(uid).nickname
    change([_command(uid, request.form)], say("Noted of {nickname}.", nickname=nickname))
    return back_to("watch.page", uid=uid)


def _command(watch_uid: str, form: Form) -> Command:
    word = form.get("do", "")
    if word not in {word for answers in ANSWERS.values() for word, _ in answers}:
        raise BadInput(say("It is not said what happened; nothing was noted."), accepted=say("Use one of the buttons."))
    fields: dict[str, object] = {
        "uid": uid_of(form.get("key", ""), form.get("sensor_uid", ""), form.get("since", ""), word),
        "watch_uid": watch_uid,
    }
    if word in WOUND:
        moment = {"at": form.get("until", ""), "zone": zone().key, "within_min": NOW_WITHIN_MIN}
        return build(LogWind, fields | moment | WOUND[word])
    if word == "another watch":
        there = {"uid": fields["uid"], "sensor_uid": form.get("sensor_uid", ""), "at": form.get("since", "")}
        return build(TakeOffSensor, there)
    told = {"sensor_uid": form.get("sensor_uid", ""), "at": form.get("since", ""), "word": word}
    return build(AnswerSensor, fields | told | {"entry_uid": form.get("entry_uid", "")})
