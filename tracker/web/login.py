"""The log-in page: who are you?"""

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from flask import session as passing
from werkzeug.wrappers import Response

from tracker.errors import GoingError
from tracker.sessions import TRUSTED, TooManyTries, WrongPassword, log_in, log_out
from tracker.web.request import COOKIE, now, ours, reach, store, visitor

pages = Blueprint("login", __name__)

MOST_OF_A_BROWSER = 200


@pages.get("/log-in")
def page() -> Response:
    """The form, or the way on for whoever need not fill it in."""
    if visitor() is not None:
        return redirect(_onward(request.args.get("next", "")), 303)
    return _form(200, wanted=request.args.get("next", ""))


@pages.post("/log-in")
def enter() -> Response:
    """Begin a session; the browser keeps its key, and the token of forms is a new one."""
    form, trusted = request.form, bool(request.form.get("trusted"))
    browser = request.user_agent.string[:MOST_OF_A_BROWSER]
    try:
        key = log_in(
            store(),
            form.get("name", ""),
            form.get("password", ""),
            source=request.remote_addr or "",
            trusted=trusted,
            browser=browser,
            now=now(),
        )
    except (TooManyTries, WrongPassword) as error:
        return _form(error.status, wanted=form.get("next", ""), problem=error)
    passing.clear()
    answer = redirect(_onward(form.get("next", "")), 303)
    answer.set_cookie(
        COOKIE,
        key,
        max_age=int(TRUSTED.total_seconds()) if trusted else None,
        secure=bool(reach().trusted_proxy),
        httponly=True,
        samesite="Lax",
    )
    return answer


@pages.post("/log-out")
def leave() -> Response:
    """End this browser's session."""
    found = visitor()
    if found is not None:
        log_out(store(), found.session_uid)
    passing.clear()
    answer = redirect(url_for("login.page"), 303)
    answer.delete_cookie(COOKIE)
    return answer


def _form(status: int, *, wanted: str, problem: GoingError | None = None) -> Response:
    plain = not reach().trusted_proxy
    page = render_template("login.html", wanted=wanted, form=request.form, problem=problem, plain=plain)
    answer = make_response(page, status)
    if isinstance(problem, TooManyTries):
        answer.headers["Retry-After"] = str(problem.wait_s)
    return answer


def _onward(wanted: str) -> str:
    return wanted if ours(wanted) else url_for("round.page")
