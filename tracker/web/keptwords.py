"""What a page says of taps that are kept until the server has them. Scripts put the values in their places."""

from tracker.phrases import DAYS
from tracker.web.taps import MOST_NAMED
from tracker.words import say, speech


def keptwords() -> dict[str, object]:
    """Every sentence that the script of kept taps needs, with places in braces."""
    return {
        "most": MOST_NAMED,
        "many": say("{n} watches", n="{n}"),
        "none": say("No watch is ticked; nothing was noted."),
        "acts": _acts(),
        "days": {day: say(day) for day in DAYS},
        "clock": _clock(),
        "when": {
            "now": say("at {time}", time="{time}"),
            "this morning": say("this morning (tapped at {time})", time="{time}"),
            "last night": say("last night (tapped at {time})", time="{time}"),
            "about": say("at about {clock} (tapped at {time})", clock="{about}", time="{time}"),
        },
        "heads": _heads(),
        "later": say("Leave this page open, or open it again later."),
        "close": say("You may close this page."),
        "open": say("Leave this page open: closed, it forgets this."),
        "sent": say("Sent and noted, with the time of the tap."),
        "row": say("Kept: {told}.", told="{told}"),
        "undone": say("Taken back, not sent: {told}.", told="{told}"),
        "fresh": say("Show what stands now"),
        "undo": say("Undo"),
        "again": say("Try again"),
        "drop": say("Drop it"),
        "watch": say("The watch"),
        "enter": say("Log in"),
    }


def _acts() -> dict[str, str]:
    places = {"names": "{names}", "when": "{when}"}
    return {
        "wound-going": say("{names} wound {when}, found going", **places),
        "wound-stopped": say("{names} wound {when}, found stopped", **places),
        "seen-going": say("{names} seen going {when}", **places),
        "seen-stopped": say("{names} found stopped {when}, not wound", **places),
    }


def _clock() -> dict[str, str]:
    """How hours and minutes are written in each half of the day, as `phrases.clock` does; nothing for the 24 hours of ISO 8601."""
    if speech().formats.clock == "24 h":
        return {}
    places = {"hours": "{hours}", "minutes": "{minutes}"}
    return {"am": say("{hours}:{minutes} am", **places), "pm": say("{hours}:{minutes} pm", **places)}


def _heads() -> dict[str, str]:
    """By how a tap stands."""
    return {
        "new": say("On its way to the server."),
        "away": say("The server does not answer. This is kept here and sent when it does."),
        "unable": say("The server can't take it now. This is kept here and sent when it can."),
        "log in": say("You are logged out. This is kept here and sent once you have logged in."),
        "another": say("Kept here for {name}, and sent once {name} has logged in.", name="{name}"),
        "withdrawn": say("Taken back. Should it have reached the server, it is taken out there when that answers."),
        "not taken back": say("Noted, and not taken back; it stands here until you drop it."),
        "refused": say("Not noted; it stands here until you drop it."),
    }
