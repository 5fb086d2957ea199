"""Photographs of a watch itself: kept, shown to who may see them, one first, taken out and brought back."""

import io
import re
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from PIL import Image
from werkzeug.test import TestResponse

from tests.dials import PDF, picture
from tests.web.household import helper, household, site
from tests.web.rounds import NOW, client, register
from tracker import checking
from tracker.backup.archive import write
from tracker.store.store import Store
from tracker.uids import uid_of

UID, OTHER, MISSING = uid_of("form"), uid_of("another form"), uid_of("none")
SHOWN = re.compile(r'class="portrait" href="(/portrait/[0-9a-f-]{36})"')


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


@pytest.fixture
def uid(store: Store) -> str:
    return register(store, "Night ferry", 2)


def add(browser: FlaskClient, uid: str, *pictures: bytes, key: str = UID) -> TestResponse:
    sent: dict[str, Any] = {"uid": key, "portrait": [(io.BytesIO(data), "IMG_1.heic") for data in pictures]}
    return browser.post(f"/watch/{uid}/portrait", data=sent, content_type="multipart/form-data")


def page(browser: FlaskClient, uid: str) -> str:
    return browser.get(f"/watch/{uid}").text


def rows(text: str) -> list[str]:
    return re.findall(r'<li><a href="(/portrait/[0-9a-f-]{36})"', text)


def size(data: bytes) -> tuple[int, int]:
    return Image.open(io.BytesIO(data)).size


def test_it_stands_beside_the_name_small_and_opens_large(store: Store, browser: FlaskClient, uid: str) -> None:
    assert SHOWN.search(page(browser, uid)) is None
    assert add(browser, uid, picture("JPEG", 4000, 3000)).status_code == 303
    (address,) = SHOWN.findall(page(browser, uid))
    large, small = browser.get(address), browser.get(f"{address}/small")
    assert (size(large.data), size(small.data)) == ((2000, 1500), (200, 150))
    for answer in (large, small):
        assert answer.mimetype == "image/jpeg"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Cache-Control"] == "private, max-age=86400"
        assert answer.headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert len(list((store.path.parent / "files").iterdir())) == 2


def test_the_collection_shows_one_small_picture_in_its_row(store: Store, browser: FlaskClient, uid: str) -> None:
    register(store, "Grey dial", 2)
    assert "/portrait/" not in browser.get("/collection").text
    add(browser, uid, picture("JPEG"), picture("JPEG", 90, 30))
    text = browser.get("/collection").text
    assert re.findall(r'src="(/portrait/[^"]+)"', text) == [f"{SHOWN.findall(page(browser, uid))[0]}/small"]
    assert text.count('class="faced"') == 2


def test_of_several_the_one_chosen_is_first_until_that_is_undone(browser: FlaskClient, uid: str) -> None:
    add(browser, uid, picture("JPEG"), picture("JPEG", 90, 30), picture("JPEG", 30, 90))
    before = rows(page(browser, uid))
    assert len(before) == 3
    for n, each in enumerate(before[1:]):
        browser.post(f"{each}/first", data={"uid": uid_of("first", str(n))})
        assert rows(page(browser, uid))[0] == each
    browser.post("/log/undo")
    assert rows(page(browser, uid))[0] == before[1]
    answer = browser.post(f"{before[1]}/first", data={"uid": OTHER})
    assert (answer.status_code, "It is shown first already." in answer.text) == (409, True)


def test_taken_out_it_is_gone_the_next_moves_up_and_undo_brings_it_back(browser: FlaskClient, uid: str) -> None:
    add(browser, uid, picture("JPEG"), picture("JPEG", 90, 30))
    first, second = rows(page(browser, uid))
    browser.post(f"{first}/take-out", data={"uid": OTHER})
    assert rows(page(browser, uid)) == [second]
    assert (browser.get(first).status_code, browser.get(f"{first}/small").status_code) == (404, 404)
    browser.post("/log/undo")
    assert rows(page(browser, uid)) == [first, second]
    assert browser.get(first).status_code == 200


def test_a_double_tap_is_one_photograph(browser: FlaskClient, uid: str) -> None:
    for _ in range(2):
        add(browser, uid, picture("JPEG"))
    assert len(rows(page(browser, uid))) == 1


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ([], "No photograph is chosen. Choose one to 4."),
        ([picture("JPEG", n + 1, 9) for n in range(5)], "These are too many at once. Choose one to 4."),
        ([picture("JPEG"), PDF], "This file is not a photograph that can be shown. JPEG, PNG and WebP are taken."),
        ([picture("JPEG"), picture("PNG")[:90]], "This picture is broken: it can&#39;t be read to its end."),
    ],
    ids=["none", "too many", "no picture", "broken"],
)
def test_what_cannot_be_taken_is_said_by_its_field_and_nothing_is_kept(
    store: Store, browser: FlaskClient, uid: str, *, sent: list[bytes], said: str
) -> None:
    answer = add(browser, uid, *sent)
    assert (answer.status_code, answer.text.count(said)) == (422, 1)
    assert 'id="portrait-problem"' in answer.text
    assert rows(answer.text) == []
    assert not (store.path.parent / "files").exists()


def test_of_no_watch_and_no_photograph_is_told(browser: FlaskClient) -> None:
    assert add(browser, MISSING, picture("JPEG")).status_code == 404
    for path, method in (("", "GET"), ("/small", "GET"), ("/first", "POST"), ("/take-out", "POST")):
        assert browser.open(f"/portrait/{MISSING}{path}", method=method).status_code == 404


def test_a_helper_sees_the_one_beside_the_name_and_no_other(store: Store, browser: FlaskClient, uid: str) -> None:
    household(store)
    add(browser, uid, picture("JPEG"), picture("JPEG", 90, 30))
    first, second = rows(page(browser, uid))
    grete = helper(site(store))
    assert SHOWN.findall(grete.get(f"/watch/{uid}").text) == [first]
    assert (grete.get(first).status_code, grete.get(f"{first}/small").status_code) == (200, 200)
    assert (grete.get(second).status_code, grete.get(f"{second}/small").status_code) == (403, 403)
    assert "take-out" not in grete.get(f"/watch/{uid}").text
    assert site(store).test_client().get(first).status_code == 303


def test_backup_and_check_know_both_files(store: Store, browser: FlaskClient, uid: str, tmp_path: Path) -> None:
    add(browser, uid, picture("JPEG", 400, 300))
    folder = store.path.parent
    names = {file.name for file in (folder / "files").iterdir()}
    assert len(names) == 2
    assert [each for each in checking.check(folder, NOW) if each.subject == "files"] == []
    entries = {entry.name for entry in write(folder, tmp_path / "backup.zip", NOW).manifest.entries}
    assert {f"files/{name}" for name in names} <= entries
    for name in names:
        (folder / "files" / name).unlink()
    (found,) = [each for each in checking.check(folder, NOW) if each.subject == "files"]
    assert found.fault
    assert all(name in found.sentence for name in names)
