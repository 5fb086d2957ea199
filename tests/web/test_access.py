"""Who may see which page: every endpoint, for nobody, a helper and the owner."""

import re

import pytest
from flask import Flask
from werkzeug.routing import Rule

from tests.web.household import helper, household, site, the_owner
from tests.web.rounds import NOW, give
from tracker.commands.log import LogService, LogWind
from tracker.commands.register import RegisterWatch
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web import access

ANYONE = {
    "static", "pictures.script", "links.page", "links.answer", "feed.page", "health.page", "login.page", "login.enter",
    "install.manifest", "install.worker", "install.unreachable",
}  # fmt: skip
HELPERS = {
    "round.page", "collection.page", "watch.page", "logform.page", "entry.tap", "entry.undo", "away.sheet",
    "progress.page", "login.leave", "labels.open_watch", "portraits.show", "portraits.small", "roundsheet.page", "typedin.page",
    "kept.whose", "kept.send",
}  # fmt: skip
SECRETS = ("worth a ferry", "serial-4711", "hidden in the clock", "cost a fortune", "noted in passing", "Aunt Ottilie")
WATCH, SERVICE, WIND = uid_of("watch"), uid_of("service"), uid_of("wind")


@pytest.fixture
def app(store: Store) -> Flask:
    household(store)
    give(
        store,
        RegisterWatch(
            uid=WATCH, nickname="Night ferry", stated_reserve_h=40, habit="keep going", value=SECRETS[0],
            serial=SECRETS[1], note=SECRETS[2], belongs_to=SECRETS[5],
        ),
        LogService(uid=SERVICE, cost=SECRETS[3], watch_uid=WATCH, at=NOW, zone="UTC"),
        LogWind(uid=WIND, found="stopped", note=SECRETS[4], watch_uid=WATCH, at=NOW, zone="UTC"),
    )  # fmt: skip
    return site(store)


def rules(app: Flask) -> list[tuple[Rule, str]]:
    return [
        (rule, method)
        for rule in app.url_map.iter_rules()
        if not rule.endpoint.startswith("api.")  # for programs: tests/api/test_access.py
        for method in sorted((rule.methods or set()) & {"GET", "POST"})
    ]


def address(rule: Rule) -> str:
    path = rule.rule
    for name in rule.arguments:
        path = path.replace(f"<path:{name}>", "going.css").replace(f"<{name}>", WATCH)
    return path


def test_the_table_is_the_one_that_was_agreed_and_names_pages_that_are_there(app: Flask) -> None:
    assert ANYONE == access.ANYONE
    assert HELPERS == access.HELPERS
    assert {rule.endpoint for rule in app.url_map.iter_rules()} >= ANYONE | HELPERS


def test_a_stranger_is_sent_to_log_in_from_every_page_but_those_named(store: Store, app: Flask) -> None:
    before, stranger = list(store.reading().conn.iterdump()), app.test_client()
    for rule, method in rules(app):
        answer = stranger.open(address(rule), method=method, data={} if method == "POST" else None)
        sent = answer.status_code == 303 and answer.headers["Location"].startswith("/log-in")
        assert sent == (rule.endpoint not in ANYONE), (method, rule.rule, answer.status_code)
        answer.close()
    assert [line for line in store.reading().conn.iterdump() if "wrong_try" not in line] == [
        line for line in before if "wrong_try" not in line
    ]


def test_a_helper_is_refused_every_page_but_those_named(store: Store, app: Flask) -> None:
    browser = helper(app)
    before = list(store.reading().conn.iterdump())
    for rule, method in rules(app):
        if rule.endpoint in ANYONE | HELPERS:
            continue
        answer = browser.open(address(rule), method=method, data={} if method == "POST" else None)
        assert answer.status_code == 403, (method, rule.rule)
        assert "Only an owner sees this page." in answer.text
    assert list(store.reading().conn.iterdump()) == before


def test_an_owner_is_refused_nothing(app: Flask) -> None:
    browser = the_owner(app)
    for rule, method in rules(app):
        if method == "GET":
            with browser.get(address(rule)) as answer:
                assert answer.status_code not in {401, 403}, rule.rule


@pytest.mark.parametrize(
    "path", ["/", "/collection", f"/watch/{WATCH}", f"/watch/{WATCH}/log?kind=wind", "/away/sheet", "/worked-out"]
)
def test_what_is_the_owners_is_shown_to_no_helper(app: Flask, path: str) -> None:
    answer = helper(app).get(path)
    assert answer.status_code == 200
    assert [secret for secret in SECRETS if secret in answer.text] == []


def test_the_owner_does_see_it_there(app: Flask) -> None:
    browser = the_owner(app)
    text = browser.get(f"/watch/{WATCH}").text + browser.get(f"/watch/{WATCH}/edit").text
    assert [secret for secret in SECRETS if secret not in text] == []


def test_no_search_tells_a_helper_what_is_in_a_note(app: Flask) -> None:
    assert "Night ferry" in the_owner(app).get("/collection?q=hidden").text
    assert "Night ferry" not in helper(app).get("/collection?q=hidden").text


@pytest.mark.parametrize("query", [f"entry={WIND}", f"entry={SERVICE}", "kind=service", "kind=wear"])
def test_a_helper_opens_no_form_but_of_winds_and_sightings(app: Flask, query: str) -> None:
    answer = helper(app).get(f"/watch/{WATCH}/log?{query}")
    assert answer.status_code == 403
    assert [secret for secret in SECRETS if secret in answer.text] == []


def test_every_link_and_form_that_a_helper_sees_is_open_to_them(app: Flask) -> None:
    browser = helper(app)
    for path in ("/", "/collection", f"/watch/{WATCH}", f"/watch/{WATCH}/log?kind=wind"):
        text = re.sub(r"<p hidden>.*?</p>", "", browser.get(path).text)
        for link in set(re.findall(r'href="(/[^"#]*)"', text)):
            with browser.get(link.replace("&amp;", "&")) as answer:
                assert answer.status_code == 200, (path, link)


def test_a_helper_winds_and_the_log_says_who(store: Store, app: Flask) -> None:
    browser = helper(app)
    form = {"key": uid_of("tap"), "do": f"wound-going {WATCH}", "when": "now"}
    assert browser.post("/log/tap", data=form).status_code == 303
    names = store.reading().execute(
        "SELECT name FROM winding JOIN person ON person.uid = person_uid ORDER BY winding.rowid DESC LIMIT 1"
    )
    assert names.fetchone() == ("Grete",)
