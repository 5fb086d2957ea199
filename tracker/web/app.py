"""The Flask application, put together."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from flask import Flask

from tracker import cautionwords, clock, derive, phrases
from tracker.commands.door import Then
from tracker.reach import Reach
from tracker.renewal import session_key
from tracker.store.store import Store
from tracker.web import attaching, cautions, pagecode, safety, statics
from tracker.web.broker import BROKER_KEY, Known
from tracker.web.keptwords import keptwords
from tracker.web.proxied import proxied
from tracker.web.request import (
    BELL_KEY,
    CLOCK_KEY,
    REACH_KEY,
    STORE_KEY,
    THEN_KEY,
    hush,
    now_of_request,
    speak_of_request,
    what_every_page_says,
)
from tracker.words import say, written


def _never() -> datetime | None:
    return None


def create_app(
    store: Store,
    *,
    now: Callable[[], datetime] = clock.now,
    last_bell: Callable[[], datetime | None] = _never,
    then: Then = derive.catch_up,
    broker: Known | None = None,
    reach: Reach | None = None,
) -> Flask:
    """The site over one collection.

    Args:
        store: an opened collection.
        now: what tells the time; tests hand in one that stands still.
        last_bell: what tells when reminders were last looked through, for /healthz.
        then: what sees to estimates that do not hold; by default they are worked out within the request.
        reach: from where it is reached; by default this machine alone, where nobody has to log in.
        broker: the broker that sensors send to, for whoever wants to hear which topics there are.
    """
    app = Flask("tracker", template_folder=str(templates_folder()), static_folder=None)
    app.config.update(
        SECRET_KEY=session_key(store.path.parent),
        SESSION_COOKIE_SAMESITE="Strict",
        SESSION_COOKIE_NAME="going",
        SESSION_COOKIE_SECURE=bool(reach and reach.trusted_proxy),
        MAX_CONTENT_LENGTH=2_000_000,
        MAX_FORM_MEMORY_SIZE=2_000_000,
        WTF_CSRF_TIME_LIMIT=None,
        WTF_CSRF_SSL_STRICT=False,
    )
    app.extensions[STORE_KEY] = store
    app.extensions[CLOCK_KEY] = now
    app.extensions[BELL_KEY] = last_bell
    app.extensions[THEN_KEY] = then
    app.extensions[BROKER_KEY] = broker or Known()
    app.extensions[REACH_KEY] = reach = reach or Reach()
    app.wsgi_app = proxied(app.wsgi_app, reach.trusted_proxy)  # type: ignore[assignment,method-assign]  # as Flask's manual has it
    app.jinja_env.globals.update(
        say=say,
        written=written,
        phrases=phrases,
        cautions=cautions,
        cautionwords=cautionwords,
        keptwords=keptwords,
    )
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    pagecode.keep(app)
    app.context_processor(what_every_page_says)
    app.before_request(now_of_request)
    app.before_request(speak_of_request)
    app.teardown_request(hush)
    app.before_request(attaching.room_for_photographs)
    safety.guard(app)
    statics.serve(app)
    _register_pages(app)
    return app


def _register_pages(app: Flask) -> None:
    from tracker.web import (  # noqa: PLC0415 -- pages need the app's base first
        absences,
        api,
        away,
        barrel,
        bench,
        changes,
        channels,
        choice,
        collection,
        customers,
        entry,
        explain,
        feed,
        files,
        firststeps,
        health,
        heard,
        install,
        kept,
        labels,
        links,
        logform,
        login,
        messages,
        people,
        photographs,
        pictures,
        portraits,
        problems,
        programs,
        progress,
        readings,
        reserves,
        round_,
        roundsheet,
        sensorform,
        sensors,
        servicebook,
        services,
        settings,
        sheet,
        sums,
        typedin,
        watch,
    )

    for page in (
        round_,
        roundsheet,
        typedin,
        collection,
        customers,
        services,
        changes,
        api,
        channels,
        away,
        bench,
        absences,
        barrel,
        choice,
        feed,
        messages,
        watch,
        explain,
        entry,
        logform,
        settings,
        health,
        heard,
        labels,
        install,
        kept,
        links,
        login,
        people,
        sensorform,
        sensors,
        files,
        firststeps,
        photographs,
        pictures,
        portraits,
        programs,
        progress,
        reserves,
        sums,
        readings,
        servicebook,
        sheet,
    ):
        app.register_blueprint(page.pages)
    app.extensions["csrf"].exempt(links.pages)  # the link itself is what no other page knows
    app.extensions["csrf"].exempt(api.pages)  # a token is what no page of others can send
    problems.register(app)


def templates_folder() -> Path:
    """Where the templates are: inside the package when installed, beside it in a checkout."""
    package = Path(__file__).parent.parent
    inside = package / "templates"
    return inside if inside.is_dir() else package.parent / "templates"
