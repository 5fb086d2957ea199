"""A photograph now, its hands later: from the form to the question, the reading, and what stays."""

import io
import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.dials import JPEG, png
from tests.web.rounds import client, register
from tracker.photofile import MOST_BYTES, photograph, place
from tracker.store import log
from tracker.store.store import Store

UID = "01936f4e-5c00-7000-8000-000000000000"
READ = UID.replace("0000", "0001", 1)
ASKED = "Hands to be read from a photograph of today 07:25"


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def sent(data: bytes) -> tuple[io.BytesIO, str]:
    return io.BytesIO(data), "dial.jpg"


def tap(browser: FlaskClient, uid: str, act: str, data: bytes, **more: str) -> TestResponse:
    fields = {"key": UID, "when": "now", "do": f"{act} {uid}", "next": f"/watch/{uid}"} | more
    # By hand: the test client leaves open what it sends of a large form.
    parts = [
        f'--dial\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{said}\r\n' for name, said in fields.items()
    ]
    file = f'--dial\r\nContent-Disposition: form-data; name="photo-{uid}"; filename="dial.jpg"\r\n\r\n'
    body = "".join([*parts, file]).encode() + data + b"\r\n--dial--\r\n"
    return browser.post("/log/tap", data=body, content_type="multipart/form-data; boundary=dial")


def page(browser: FlaskClient, uid: str) -> str:
    return browser.get(f"/watch/{uid}").text


def photo(browser: FlaskClient, uid: str) -> str:
    (address,) = set[str](re.findall(r"/photograph/([0-9a-f-]{36})\"", page(browser, uid)))
    return address


def newest(store: Store, uid: str) -> dict[str, Any]:
    return log.entry_rows(store.reading(), uid)[0]


def test_a_tap_keeps_the_photograph_and_the_watch_page_asks_for_its_hands(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    assert tap(browser, uid, "wound-stopped", JPEG).status_code == 303
    assert ASKED in page(browser, uid)
    assert (newest(store, uid)["found"], newest(store, uid)["shown"]) == ("stopped", None)
    answer = browser.get(f"/photograph/{photo(browser, uid)}")
    assert (answer.data, answer.mimetype) == (photograph(JPEG).data, "image/jpeg")
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"].startswith("private")


def test_the_reading_corrects_the_entry_settles_the_question_and_keeps_the_photograph(
    store: Store, browser: FlaskClient
) -> None:
    uid = register(store, "Night ferry", 60, dated=True)
    tap(browser, uid, "wound-stopped", JPEG, **{f"hands-{uid}": "set now, date too"})
    before, name = newest(store, uid), photo(browser, uid)
    answer = browser.post(
        f"/photograph/{name}/read", data={"uid": READ, f"shown-{name}": "437", f"shown_date-{name}": "24"}
    )
    assert answer.headers["Location"] == f"/watch/{uid}"
    after = newest(store, uid)
    changed = {column for column in after if after[column] != before[column]}
    assert changed == {"uid", "replaces", "shown", "shown_date"}
    assert (after["replaces"], after["shown"], after["shown_date"]) == (before["uid"], "4:37", 24)
    told = page(browser, uid)
    assert "Noted: its hands showed 4:37." in told
    assert ASKED not in told
    assert photo(browser, uid) == name
    browser.post("/log/undo")
    assert ASKED in page(browser, uid)


@pytest.mark.parametrize(
    ("typed", "said"),
    [("", "This is needed. Give the time on the hands"), ("9999", "“9999” is not a time on a dial.")],
    ids=["nothing", "no time"],
)
def test_a_reading_that_cannot_be_comes_back_by_its_field(
    store: Store, browser: FlaskClient, typed: str, said: str
) -> None:
    uid = register(store, "Night ferry", 60)
    tap(browser, uid, "seen-stopped", JPEG)
    name = photo(browser, uid)
    answer = browser.post(f"/photograph/{name}/read", data={"uid": READ, f"shown-{name}": typed})
    assert answer.status_code == 422
    assert answer.text.count(said) == 1
    assert re.search(rf'name="shown-{name}" value="{typed}"[^>]* aria-invalid', answer.text)


def test_one_that_cannot_be_read_is_not_asked_for_again_until_undone(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    tap(browser, uid, "seen-stopped", JPEG)
    name = photo(browser, uid)
    browser.post(f"/photograph/{name}/unreadable", data={"uid": READ})
    assert ASKED not in page(browser, uid)
    assert photo(browser, uid) == name
    browser.post("/log/undo")
    assert ASKED in page(browser, uid)


def test_hands_typed_beside_the_photograph_leave_nothing_to_ask(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    tap(browser, uid, "wound-stopped", JPEG, **{f"shown-{uid}": "437"})
    assert ASKED not in page(browser, uid)
    assert photo(browser, uid)


def test_undone_neither_entry_nor_photograph_is_left_to_see(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    tap(browser, uid, "wound-stopped", JPEG)
    name = photo(browser, uid)
    browser.post("/log/undo")
    assert "/photograph/" not in page(browser, uid)
    assert browser.get(f"/photograph/{name}").status_code == 404


def test_a_double_tap_is_one_entry_with_one_photograph(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    for _ in range(2):
        tap(browser, uid, "wound-stopped", JPEG)
    assert len(log.entry_rows(store.reading(), uid)) == 2
    assert photo(browser, uid)


def test_the_long_form_takes_one_too(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    fields = {"uid": UID, "when": "now", "seen": "stopped", "photo": sent(png())}
    assert browser.post(f"/watch/{uid}/log?kind=sighting", data=fields).status_code == 303
    assert browser.get(f"/photograph/{photo(browser, uid)}").mimetype == "image/png"


@pytest.mark.parametrize(
    ("act", "data", "said"),
    [
        ("wound-stopped", b"<svg/>", "This file is not a photograph that can be shown."),
        ("wound-stopped", JPEG.ljust(MOST_BYTES + 1), "This photograph is too large. At most 12 megabytes are taken."),
        ("wound-going", JPEG, "A photograph of the hands goes with a watch that had stopped."),
    ],
    ids=["another kind", "too large", "it was going"],
)
@pytest.mark.parametrize("page_of", ["/watch/{uid}", "/"], ids=["watch", "round"])
def test_what_cannot_be_taken_is_said_once_by_its_field_and_nothing_is_noted(
    page_of: str, act: str, data: bytes, said: str, *, store: Store, browser: FlaskClient
) -> None:
    uid = register(store, "Night ferry", 60)
    answer = tap(browser, uid, act, data, next=page_of.format(uid=uid))
    assert (answer.status_code, answer.text.count(said)) == (422, 1)
    assert f'id="photo-{uid}-problem"' in answer.text
    assert len(log.entry_rows(store.reading(), uid)) == 1
    assert not (store.path.parent / "files").exists()


def test_a_form_with_files_is_bounded_as_a_whole(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    assert tap(browser, uid, "wound-stopped", b"x" * 51_000_000).status_code == 413


def test_a_file_that_is_missing_is_told(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    tap(browser, uid, "wound-stopped", JPEG)
    name = photo(browser, uid)
    (file,) = (store.path.parent / "files").iterdir()
    assert file == place(store.path.parent, file.name)
    file.unlink()
    answer = browser.get(f"/photograph/{name}")
    assert answer.status_code == 404
    assert "This file is missing" in answer.text


def test_a_name_of_no_photograph_is_not_found(browser: FlaskClient) -> None:
    assert browser.get("/photograph/..").status_code == 404
    assert browser.get(f"/photograph/{UID}").status_code == 404
    assert browser.post(f"/photograph/{UID}/read").status_code == 404
    assert browser.post(f"/photograph/{UID}/unreadable").status_code == 404
