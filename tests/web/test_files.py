"""Files with a service or a watch: known by what they hold, handed out safely, taken out and brought back."""

import io
import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.dials import JPEG, PDF, png
from tests.web.rounds import client, register
from tracker.photofile import MOST_BYTES, attachable, place
from tracker.store.store import Store

UID = "01936f4e-5c00-7000-8000-000000000000"
OTHER = UID.replace("0000", "0001", 1)


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


@pytest.fixture
def uid(store: Store) -> str:
    return register(store, "Night ferry", 2)


def attach(browser: FlaskClient, uid: str, data: bytes, name: str, key: str = UID, **fields: str) -> TestResponse:
    # By hand: the test client leaves open what it sends of a large form.
    said = {"uid": key, **fields}.items()
    parts = [f'--x\r\nContent-Disposition: form-data; name="{field}"\r\n\r\n{text}\r\n' for field, text in said]
    file = f'--x\r\nContent-Disposition: form-data; name="file"; filename="{name}"\r\n\r\n'
    body = "".join([*parts, file]).encode() + data + b"\r\n--x--\r\n"
    return browser.post(f"/watch/{uid}/file", data=body, content_type="multipart/form-data; boundary=x")


def addresses(page: str) -> list[str]:
    return re.findall(r"href=\"(/file/[0-9a-f-]{36})\"", page)


def test_a_pdf_is_kept_under_its_hash_and_handed_out_to_be_saved(store: Store, browser: FlaskClient, uid: str) -> None:
    assert attach(browser, uid, PDF, "../../etc/Bill: 7 <b>.exe", title="").status_code == 303
    page = browser.get(f"/watch/{uid}").text
    assert "Bill: 7 &lt;b&gt;" in page
    (address,) = addresses(page)
    answer = browser.get(address)
    assert (answer.data, answer.mimetype) == (PDF, "application/pdf")
    assert answer.headers["Content-Disposition"] == "attachment; filename=Bill_7_b.pdf"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer.headers["Cache-Control"].startswith("private")
    (file,) = (store.path.parent / "files").iterdir()
    assert file == place(store.path.parent, file.name)
    assert re.fullmatch("[0-9a-f]{64}", file.name)


def test_a_picture_is_shown_in_place_whatever_its_name_says(browser: FlaskClient, uid: str) -> None:
    attach(browser, uid, png(), "page.html", title="after the service")
    (address,) = addresses(browser.get(f"/watch/{uid}").text)
    answer = browser.get(address)
    assert answer.mimetype == "image/png"
    assert answer.headers["Content-Disposition"] == "inline; filename=after_the_service.png"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"<svg onload='x'/>", "This file is neither a picture nor a PDF by what it holds. JPEG, PNG, WebP and PDF are taken."),
        (b"MZ" + PDF, "This file is neither a picture nor a PDF by what it holds."),
        (b"", "This file is neither a picture nor a PDF by what it holds."),
        (PDF.ljust(MOST_BYTES + 1), "This file is too large. At most 12 megabytes are taken."),
    ],
    ids=["svg", "program", "nothing", "too large"],
)  # fmt: skip
def test_anything_else_is_refused_by_its_field(
    store: Store, browser: FlaskClient, uid: str, *, data: bytes, said: str
) -> None:
    answer = attach(browser, uid, data, "bill.pdf")
    assert (answer.status_code, answer.text.count(said)) == (422, 1)
    assert 'id="file-problem"' in answer.text
    assert not (store.path.parent / "files").exists()


def test_a_form_without_a_file_is_told(browser: FlaskClient, uid: str) -> None:
    answer = browser.post(f"/watch/{uid}/file", data={"uid": UID})
    assert (answer.status_code, "No file is chosen." in answer.text) == (422, True)


def test_taken_out_it_is_gone_and_undo_brings_it_back_for_its_file_stays(
    store: Store, browser: FlaskClient, uid: str
) -> None:
    attach(browser, uid, JPEG, "dial.jpg")
    (address,) = addresses(browser.get(f"/watch/{uid}").text)
    browser.post(f"{address}/take-out", data={"uid": OTHER})
    assert addresses(browser.get(f"/watch/{uid}").text) == []
    assert browser.get(address).status_code == 404
    assert len(list((store.path.parent / "files").iterdir())) == 1
    browser.post("/log/undo")
    assert browser.get(address).data == attachable(JPEG).data


def test_the_same_file_can_come_again_after_it_was_taken_out(browser: FlaskClient, uid: str) -> None:
    attach(browser, uid, JPEG, "dial.jpg")
    (address,) = addresses(browser.get(f"/watch/{uid}").text)
    browser.post(f"{address}/take-out", data={"uid": OTHER})
    attach(browser, uid, JPEG, "dial.jpg", key=UID.replace("0000", "0002", 1))
    assert len(addresses(browser.get(f"/watch/{uid}").text)) == 1


def test_a_double_tap_is_one_file(browser: FlaskClient, uid: str) -> None:
    for _ in range(2):
        attach(browser, uid, JPEG, "dial.jpg")
    assert len(addresses(browser.get(f"/watch/{uid}").text)) == 1


def test_a_service_brings_one_and_its_correction_carries_it_on(browser: FlaskClient, uid: str) -> None:
    body = {"uid": UID, "when": "now", "file": (io.BytesIO(PDF), "bill.pdf")}
    browser.post(f"/watch/{uid}/log?kind=service", data=body, content_type="multipart/form-data")
    before = addresses(browser.get("/services/book").text)
    assert len(before) == 1
    browser.post(f"/watch/{uid}/log?entry={UID}", data={"uid": OTHER, "when": "as noted", "occasion": "a look"})
    assert addresses(browser.get("/services/book").text) == before
    assert "Hands to be read" not in browser.get(f"/watch/{uid}").text


def test_a_missing_file_and_a_name_of_none_are_told(store: Store, browser: FlaskClient, uid: str) -> None:
    attach(browser, uid, JPEG, "dial.jpg")
    (address,) = addresses(browser.get(f"/watch/{uid}").text)
    next((store.path.parent / "files").iterdir()).unlink()
    answer = browser.get(address)
    assert (answer.status_code, "This file is missing" in answer.text) == (404, True)
    assert browser.get(f"/file/{OTHER}").status_code == 404
    assert browser.post(f"/file/{OTHER}/take-out").status_code == 404
    assert attach(browser, OTHER, JPEG, "dial.jpg").status_code == 404
