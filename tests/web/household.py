"""A household that logs in: an owner, a helper, and browsers of both."""

from dataclasses import replace
from datetime import datetime

from flask import Flask
from flask.testing import FlaskClient

from tests.web.rounds import NOW, give
from tracker.collection import owner
from tracker.commands.person import AddPerson
from tracker.passwords import new_password
from tracker.reach import Reach
from tracker.store import people
from tracker.store.store import Store
from tracker.uids import new_uid, uid_of
from tracker.web.app import create_app

OWNERS, HELPERS = "the owner's own words", "a helper's own words"
GRETE = uid_of("Grete")
AT_HOME = Reach(("127.0.0.1", "192.168.1.20"), logs_in=True, names=("192.168.1.20",))
BY_PROXY = replace(AT_HOME, hosts=("127.0.0.1",), names=("watches.example",), trusted_proxy="127.0.0.1")


def household(store: Store) -> None:
    """An owner and a helper, each with a password."""
    give(store, AddPerson(uid=GRETE, name="Grete"))
    who = owner(store, "page", NOW)
    for uid, password in ((who.person_uid, OWNERS), (GRETE, HELPERS)):
        person = people.person(store.reading(), uid)
        assert person is not None
        give(store, new_password(store, new_uid(NOW), person, password))


def site(store: Store, reach: Reach = AT_HOME, *, csrf: bool = False, now: datetime = NOW) -> Flask:
    """The pages as a household reaches them."""
    app = create_app(store, now=lambda: now, reach=reach)
    app.config["WTF_CSRF_ENABLED"] = csrf
    return app


def logged_in(app: Flask, name: str, password: str, *, trusted: bool = False) -> FlaskClient:
    """A browser in which this person has logged in."""
    browser = app.test_client()
    form = {"name": name, "password": password, **({"trusted": "yes"} if trusted else {})}
    assert browser.post("/log-in", data=form).status_code == 303
    return browser


def helper(app: Flask) -> FlaskClient:
    """A browser of the helper's."""
    return logged_in(app, "Grete", HELPERS)


def the_owner(app: Flask) -> FlaskClient:
    """A browser of the owner's."""
    return logged_in(app, "", OWNERS)
