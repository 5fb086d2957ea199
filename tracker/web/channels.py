"""The page of channels: by which ways do reminders reach me? No address is ever shown."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from tracker.channelwords import how_it_is
from tracker.commands.build import build
from tracker.commands.channel import PauseChannel, RemoveChannel
from tracker.errors import NotFound
from tracker.reminders.trial import new_channel, try_out
from tracker.store import channels as shelf
from tracker.store.channels import Channel
from tracker.uids import new_uid
from tracker.web.forms import Answer, Form, form_page, version_of
from tracker.web.request import back_to, change, now, store, tell, zone
from tracker.words import say

pages = Blueprint("channels", __name__)


@pages.route("/settings/channels", methods=["GET", "POST"])
def page() -> Answer:
    """The channels there are, and a form that adds one."""
    db = store().reading()
    found = shelf.channels(db)
    return form_page(
        "channels.html",
        _add,
        fresh={},
        shown_as={"address_uid": "address"},
        channels=found,
        how={each.uid: how_it_is(db, each, now(), zone()) for each in found},
    )


def _add(form: Form) -> Response:
    command = new_channel(store(), form.get("uid", ""), form.get("name", ""), form.get("address", ""))
    change([command], say("Added. Send it a test message."))
    return back_to("channels.page")


@pages.post("/settings/channels/<uid>/test")
def test(uid: str) -> Response:
    """Send a message by this channel, paused or not, and say what came of it."""
    tell(_tried(_found(uid)))
    return back_to("channels.page")


def _tried(channel: Channel) -> str:
    answer = try_out(store(), channel, now())
    if answer.kind == "sent":
        return say("{name}: sent. Look whether it arrived.", name=channel.name)
    return say("{name}: not sent. {why}", name=channel.name, why=answer.reason)


@pages.post("/settings/channels/<uid>/pause")
def pause(uid: str) -> Response:
    """Pause a channel, or let it go on."""
    paused = request.form.get("paused") == "yes"
    wanted = {**_asked(_found(uid)), "paused": paused}
    said = say("Paused. What is still true when it goes on is told then.") if paused else say("It goes on.")
    change([build(PauseChannel, wanted)], said)
    return back_to("channels.page")


@pages.post("/settings/channels/<uid>/remove")
def remove(uid: str) -> Response:
    """Remove a channel."""
    change([build(RemoveChannel, _asked(_found(uid)))], say("Removed. Its address is forgotten in a day."))
    return back_to("channels.page")


def _found(uid: str) -> Channel:
    found = shelf.channel(store().reading(), uid)
    if found is None:
        raise NotFound(say("There is no such channel, or no longer."))
    return found


def _asked(channel: Channel) -> dict[str, object]:
    return {"uid": new_uid(now()), "channel_uid": channel.uid, "version": version_of(request.form)}
