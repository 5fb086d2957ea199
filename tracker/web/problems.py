"""Our own pages for what goes wrong."""

import logging

from flask import Flask, current_app, render_template
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException, InternalServerError
from werkzeug.wrappers import Response

from tracker.errors import GoingError, Unavailable
from tracker.store.reasons import from_outside, reason
from tracker.web import apianswer
from tracker.words import say, speech

log = logging.getLogger(__name__)

SENTENCES = {
    400: "The request could not be read. Go back and try again.",
    404: "There is no such page.",
    405: "This page can't be used that way.",
    413: "That is too much to take in one go.",
    500: "Something went wrong in the program; nothing was half saved. What happened is in its log.",
}
"""Sentences by HTTP status."""


def register(app: Flask) -> None:
    """Show our pages instead of the server's."""
    app.register_error_handler(CSRFError, _stale_form)
    app.register_error_handler(GoingError, _ours)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _unforeseen)


Answered = tuple[str, int] | Response


def _page(sentence: str, status: int) -> tuple[str, int]:
    return render_template("problem.html", sentence=sentence, status=status), status


def _stale_form(_: CSRFError) -> tuple[str, int]:
    return _page(
        say("This form was opened too long ago or in another session; nothing was changed. Open it again."), 400
    )


def _ours(error: GoingError) -> Answered:
    if apianswer.for_programs():
        return apianswer.of_error(error)
    return _page(error.sentence, error.status)


def _http(error: HTTPException) -> Answered:
    if apianswer.for_programs():
        return apianswer.of_status(error)
    status = error.code or 500
    return _page(say(SENTENCES.get(status, SENTENCES[400])), status)


def _of_file(error: Exception) -> Answered:
    """The file itself is in the way, and with it whatever our other pages ask of it."""
    log.error("the collection can't be used", exc_info=error)
    found = Unavailable(
        say(
            "The collection can't be used now: {why}. going check looks it over; going restore puts a backup in its place.",
            why=reason(error),
        )
    )
    if apianswer.for_programs():
        return apianswer.of_error(found)
    bare = current_app.jinja_env.get_template("outage.html")
    return bare.render(sentence=found.sentence, language=speech().language), found.status


def _unforeseen(error: Exception) -> Answered:
    if from_outside(error):
        return _of_file(error)
    log.error("unforeseen", exc_info=error)
    if apianswer.for_programs():
        return apianswer.of_status(InternalServerError())
    return _page(say(SENTENCES[500]), 500)
