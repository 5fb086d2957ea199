"""People on Settings: added, changed, let out; sessions ended; tokens shown once."""

import re

import pytest
from flask import Flask

from tests.web.household import GRETE, HELPERS, helper, household, logged_in, site, the_owner
from tests.web.rounds import NOW
from tracker.store import people, sessions
from tracker.store.store import Store
from tracker.tokens import person_of_token
from tracker.uids import uid_of

NEW = "words that are new here"


@pytest.fixture
def app(store: Store) -> Flask:
    household(store)
    return site(store)


def test_a_new_password_ends_other_sessions_and_keeps_the_one_that_set_it(store: Store, app: Flask) -> None:
    mine, other, hers = the_owner(app), the_owner(app), helper(app)
    me = people.first_owner(store.reading())
    assert me is not None
    answer = mine.post(f"/settings/people/{me.uid}/password", data={"uid": uid_of("set"), "password": NEW})
    assert answer.status_code == 303
    assert [each.get("/collection").status_code for each in (mine, other, hers)] == [200, 303, 200]
    assert logged_in(app, "owner", NEW).get("/").status_code == 200


def test_a_weak_password_comes_back_with_a_sentence(app: Flask) -> None:
    answer = the_owner(app).post(f"/settings/people/{GRETE}/password", data={"uid": uid_of("set"), "password": "short"})
    assert answer.status_code == 422
    assert "This password is too short." in answer.text
    assert helper(app).get("/").status_code == 200


def test_who_is_removed_is_out_at_once(app: Flask) -> None:
    hers = helper(app)
    assert the_owner(app).post(f"/settings/people/{GRETE}/remove", data={"uid": uid_of("go")}).status_code == 303
    assert hers.get("/").status_code == 303
    assert app.test_client().post("/log-in", data={"name": "Grete", "password": HELPERS}).status_code == 403


def test_a_session_is_ended_from_another_browser(store: Store, app: Flask) -> None:
    mine, hers = the_owner(app), helper(app)
    (uid,) = (each.uid for each in sessions.sessions(store.reading(), NOW) if each.person_uid == GRETE)
    assert f"/settings/sessions/{uid}/end" in mine.get("/settings/people").text
    mine.post(f"/settings/sessions/{uid}/end")
    assert (hers.get("/").status_code, mine.get("/").status_code) == (303, 200)


def test_a_token_is_shown_once(store: Store, app: Flask) -> None:
    mine = the_owner(app)
    form = {"uid": uid_of("token"), "token_name": "display", "scope": "read", "days": "30"}
    shown = re.search(r"going_[\w-]+", mine.post("/settings/tokens/add", data=form).text)
    assert shown is not None
    assert person_of_token(store, shown[0], NOW) is not None
    assert shown[0] not in mine.get("/settings/people").text


@pytest.mark.parametrize("days", ["0", "-1", "soon", "99999"])
def test_what_is_no_number_of_days_makes_no_token(app: Flask, days: str) -> None:
    form = {"uid": uid_of("token"), "token_name": "display", "scope": "read", "days": days}
    answer = the_owner(app).post("/settings/tokens/add", data=form)
    assert answer.status_code == 422
    assert "is no number of days." in answer.text
