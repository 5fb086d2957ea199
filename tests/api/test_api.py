"""Commands and reads by HTTP: once under a key, in the version that was read, page by page."""

import io
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from urllib.parse import urlsplit

import pytest
from PIL import Image
from werkzeug.test import TestResponse

from tests.api.documented import checked
from tests.api.house import NIGHT, Program, dump, problem_of
from tests.commands.test_registry import A
from tests.listening import hears, lies
from tests.web.rounds import HOUR, NOW
from tests.web.rounds import register as add_watch
from tracker import derive
from tracker.store import register
from tracker.store.store import Store
from tracker.uids import uid_of

KEY, OTHER = uid_of("key"), uid_of("other key")
WIND = {"watch_uid": NIGHT, "at": "2026-11-25T07:20:00Z", "found": "going", "hands": "left"}


def test_a_script_registers_winds_and_reads_the_wind_by(program: Program) -> None:
    watch = {"nickname": "Pilot", "stated_reserve_h": 42, "habit": "keep going"}
    uid = checked("register-watch", program.give("register-watch", watch))["uid"]
    checked("log-wind", program.give("log-wind", WIND | {"watch_uid": uid}))
    told = checked("standing", program.get(f"/watches/{uid}/standing"))
    assert told["state"] == "going"
    assert "2026-11-26T12:00:00Z" < told["wind_by"] < "2026-11-27T01:20:00Z"
    assert told["hours_left"]["low"] < told["hours_left"]["mid"] < told["hours_left"]["high"]


def test_a_change_sent_again_under_its_key_is_done_once_and_answered_alike(store: Store, program: Program) -> None:
    first = program.give("log-wind", WIND, Idempotency_Key=KEY)
    after = dump(store)
    again = program.give("log-wind", WIND, Idempotency_Key=f'"{KEY}"')
    assert (again.status_code, again.json) == (first.status_code, first.json)
    assert first.json == {"uid": KEY, "batch": KEY, "command": "LogWind", "with_it": []}
    assert dump(store) == after


def test_what_followed_from_a_change_is_told_each_time(program: Program) -> None:
    worn = {"watch_uid": A, "at": "2026-11-25T07:00:00Z", "act": "put on"}
    program.give("log-wear", worn)
    on_winder = {"watch_uid": A, "at": "2026-11-25T07:10:00Z", "act": "on"}
    told = [program.give("log-winder", on_winder, Idempotency_Key=KEY).json for _ in range(2)]
    other = {"watch_uid": NIGHT, "at": "2026-11-25T07:12:00Z", "act": "put on"}
    assert told[0] == told[1]
    program.give("log-wear", worn | {"at": "2026-11-25T07:11:00Z"})
    brought = [checked("log-wear", program.give("log-wear", other, Idempotency_Key=OTHER)) for _ in range(2)]
    assert brought[0] == brought[1]
    assert brought[0]["with_it"] == ["LogWear"]


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("log-wind", WIND | {"amount": "part"}),
        ("log-sighting", {"watch_uid": NIGHT, "at": WIND["at"], "seen": "going"}),
    ],
)
def test_a_key_names_one_change_for_good(store: Store, program: Program, path: str, body: dict[str, object]) -> None:
    program.give("log-wind", WIND, Idempotency_Key=KEY)
    before = dump(store)
    told = problem_of(program.give(path, body, Idempotency_Key=KEY), 409)
    assert "already names another change" in told["detail"]
    assert dump(store) == before


def test_a_key_that_is_none_is_said_to_be_none(program: Program) -> None:
    told = problem_of(program.give("log-wind", WIND, Idempotency_Key="tuesday"), 422)
    assert told["errors"] == [{"detail": told["detail"], "header": "Idempotency-Key"}]
    assert told["detail"].startswith("“tuesday” is not a uid.")


def test_an_edit_names_the_version_it_read(store: Store, program: Program) -> None:
    edit = {"watch_uid": NIGHT, "nickname": "Ferry"}
    tag = program.get(f"/watches/{NIGHT}").headers["ETag"]
    before = dump(store)
    told = problem_of(program.give("edit-watch", edit), 428)
    assert told["errors"][0]["header"] == "If-Match"
    for wrong in ("2", '"99"', 'W/"1"', "*", '"1", "2"'):
        problem_of(program.give("edit-watch", edit, If_Match=wrong), 412)
    assert dump(store) == before
    assert program.give("edit-watch", edit, If_Match=tag).status_code == 200
    assert program.get(f"/watches/{NIGHT}").headers["ETag"] != tag
    problem_of(program.give("edit-watch", edit, If_Match=tag), 412)


def test_a_barrel_is_begun_without_a_version_and_edited_with_one(program: Program) -> None:
    kept = {"watch_uid": NIGHT, "drum_diameter_mm": 11}
    problem_of(program.give("keep-barrel", kept, If_Match='"1"'), 412)
    assert program.give("keep-barrel", kept).status_code == 200
    problem_of(program.give("keep-barrel", kept), 428)
    tag = program.get(f"/watches/{NIGHT}/barrel").headers["ETag"]
    assert program.give("keep-barrel", kept, If_Match=tag).status_code == 200


def test_fields_that_cannot_be_taken_are_told_as_a_form_tells_them_each_with_its_place(program: Program) -> None:
    told = problem_of(program.give("register-watch", {"nickname": "", "dial_hours": 13, "a/b~c d": 1}), 422)
    assert told["title"] == "Unprocessable Entity"
    assert told["errors"] == [
        {"detail": "This is needed.", "pointer": "#/nickname"},
        {"detail": "“13” is not one of the choices. Choose 12 or 24.", "pointer": "#/dial_hours"},
        {"detail": "There is no such field.", "pointer": "#/a~1b~0c%20d"},
    ]


def test_what_headers_carry_is_no_part_of_a_body(program: Program) -> None:
    body = {"watch_uid": NIGHT, "nickname": "Ferry", "uid": KEY, "version": 1}
    told = problem_of(program.give("edit-watch", body, If_Match='"1"'), 422)
    assert [each["pointer"] for each in told["errors"]] == ["#/uid", "#/version"]


@pytest.mark.parametrize("name", ["watches", "log", "services", "sensors"])
def test_page_by_page_a_list_is_the_whole_list(program: Program, name: str) -> None:
    path = f"/watches/{A}/log" if name == "log" else f"/{name}"
    whole = checked(name, program.get(path))["items"]
    assert len(whole) > 1
    found, where = [], f"/api{path}?limit=1"
    while where:
        answer = program.client.get(where, headers=program.headers)
        found += checked(name, answer)["items"]
        links = {each.split("; rel=")[1]: each.split("; rel=")[0] for each in answer.headers["Link"].split(", ")}
        assert urlsplit(links['"first"'].strip("<>")).path == f"/api{path}"
        where = links.get('"next"', "").strip("<>")
    assert found == whole


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("limit=0", "limit"),
        ("limit=201", "limit"),
        ("limit=²", "limit"),
        ("after=x", "after"),
        ("put_away=no", "put_away"),
    ],
)
def test_a_page_that_there_is_not_is_refused_by_its_parameter(program: Program, query: str, parameter: str) -> None:
    assert problem_of(program.get(f"/watches?{query}"), 422)["errors"][0]["parameter"] == parameter


def test_those_put_away_are_listed_when_asked_for(program: Program) -> None:
    answer = program.get("/watches?put_away=yes&limit=1")
    assert [each["nickname"] for each in checked("watches", answer)["items"]] == ["Berta"]
    assert "put_away=yes" in answer.headers["Link"]


@pytest.mark.parametrize(
    "path",
    ["/watches/x", f"/watches/{KEY}/log", f"/watches/{NIGHT}/barrel", "/sensors/x", "/channels/x", "/nothing", "/"],
)
def test_what_is_not_there_is_told_as_a_problem(program: Program, path: str) -> None:
    problem_of(program.get(path), 404)


@pytest.mark.parametrize(
    ("data", "media_type", "status"),
    [
        (b"[", "application/json", 400), (b"\xff", "application/json", 400), (b'{"at": NaN}', "application/json", 400),
        (b"[" * 100_000, "application/json", 400), (b'{"a": ' + b"9" * 5000 + b"}", "application/json", 400),
        (b"[]", "application/json", 422), (b"{}", "text/plain", 415), (b"{}", "application/x-www-form-urlencoded", 415),
        (b"{}" + b" " * 500_001, "application/json", 413),
    ],
)  # fmt: skip
def test_a_body_that_is_none_is_a_problem(
    store: Store, program: Program, data: bytes, media_type: str, status: int
) -> None:
    before = dump(store)
    answer = program.client.post("/api/commands/log-wind", data=data, content_type=media_type, headers=program.headers)
    problem_of(answer, status)
    assert dump(store) == before


def test_other_ways_and_other_forms_are_problems_too(program: Program) -> None:
    answer = program.client.delete("/api/watches", headers=program.headers)
    problem_of(answer, 405)
    assert "GET" in answer.headers["Allow"]
    problem_of(program.client.get("/api/commands/log-wind", headers=program.headers), 405)
    problem_of(program.get("/watches", Accept="text/html"), 406)
    problem_of(program.get("/watches", Host="elsewhere.example"), 421)
    assert program.get("/watches", Accept="*/*").status_code == 200


def test_a_fault_of_the_program_is_a_problem_and_tells_nothing(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    program = Program(store, alone=True)

    def fails(*_: object) -> None:
        raise RuntimeError("hidden in the clock")

    program.app.config["PROPAGATE_EXCEPTIONS"] = False
    monkeypatch.setattr("tracker.store.log.entry_rows", fails)
    told = problem_of(program.get(f"/watches/{NIGHT}/log"), 500)
    assert "hidden" not in str(told)


def picture() -> bytes:
    drawn = io.BytesIO()
    Image.new("RGB", (30, 20), "navy").save(drawn, "PNG")
    return drawn.getvalue()


def laid(program: Program, path: str, data: bytes, media_type: str = "image/png") -> dict[str, object]:
    answer = program.client.post(f"/api{path}", data=data, content_type=media_type, headers=program.headers)
    told: dict[str, object] = checked({"/files": "keep-file", "/portraits": "keep-portrait"}[path], answer)
    return told


def test_a_file_is_laid_down_and_then_attached(store: Store, program: Program) -> None:
    file = laid(program, "/files", picture())
    done = checked("attach-file", program.give("attach-file", {"of_uid": NIGHT, "title": "the bill", **file}))
    with program.client.get(f"/photograph/{done['uid']}") as shown:
        assert (shown.status_code, shown.mimetype) == (200, "image/png")
    portrait = laid(program, "/portraits", picture())
    checked("add-portrait", program.give("add-portrait", {"watch_uid": NIGHT, **portrait}))
    assert register.watch(store.reading(), NIGHT) is not None


def test_a_file_that_was_not_sent_is_attached_to_nothing(store: Store, program: Program) -> None:
    before = dump(store)
    body = {"of_uid": NIGHT, "sha256": "a" * 64, "media_type": "image/png", "size_bytes": 17}
    told = problem_of(program.give("attach-file", body), 422)
    assert told["errors"][0]["pointer"] == "#/sha256"
    assert dump(store) == before


def test_a_file_that_cannot_be_taken_is_refused_as_on_the_page(program: Program) -> None:
    assert laid(program, "/files", b"GIF89a")["detail"] == (
        "This file is neither a picture nor a PDF by what it holds. JPEG, PNG, WebP and PDF are taken."
    )
    assert laid(program, "/files", b"", "text/plain")["status"] == 415


def test_an_address_is_laid_down_and_never_told(program: Program) -> None:
    answer = program.client.post(
        "/api/addresses", json={"address": "https://hook.example/secret"}, headers=program.headers
    )
    given = program.give("add-channel", {"name": "Hook", **checked("keep-address", answer)})
    uid = checked("add-channel", given)["uid"]
    assert "secret" not in program.get("/channels").text + program.get(f"/channels/{uid}").text
    for wrong in ({}, {"address": 3}, {"address": ""}, {"address": "x", "y": 1}, {"address": "file:///etc/passwd"}):
        problem_of(program.client.post("/api/addresses", json=wrong, headers=program.headers), 422)


def at_once(program: Program, path: str, body: object, headers: Sequence[dict[str, str]]) -> list[TestResponse]:
    """The answers to as many requests, sent together."""
    together = Barrier(len(headers))

    def one(told: dict[str, str]) -> TestResponse:
        together.wait()
        return program.app.test_client().post(f"/api/commands/{path}", json=body, headers=program.headers | told)

    with ThreadPoolExecutor(len(headers)) as threads:
        return [*threads.map(one, headers)]


def test_a_change_sent_twice_at_once_is_one_change(store: Store, program: Program) -> None:
    answers = at_once(program, "log-wind", WIND, [{"Idempotency-Key": KEY}] * 6)
    assert {answer.text for answer in answers} == {answers[0].text}
    assert answers[0].status_code == 200
    assert store.reading().execute("SELECT count(*) FROM winding WHERE uid = ?", [KEY]).fetchone() == (1,)


def test_of_edits_of_one_version_at_once_one_is_taken(program: Program) -> None:
    tag = program.get(f"/watches/{NIGHT}").headers["ETag"]
    answers = at_once(program, "edit-watch", {"watch_uid": NIGHT, "nickname": "Ferry"}, [{"If-Match": tag}] * 6)
    assert sorted(answer.status_code for answer in answers) == [200, 412, 412, 412, 412, 412]


def test_what_a_sensor_left_open_is_asked_and_answered(store: Store, program: Program) -> None:
    uid = add_watch(store, "Tray watch", 44)
    lies(store, uid, NOW - 44 * HOUR)
    hears(store, [(NOW - 43 * HOUR, NOW - 20 * HOUR, "stopped")])
    derive.catch_up(store, NOW)
    (asked,) = checked("questions", program.get(f"/watches/{uid}/questions"))["items"]
    assert asked["asking"] == "lifted or stopped"
    answer = {"watch_uid": uid, "sensor_uid": asked["sensor_uid"], "at": asked["since"], "word": "lifted"}
    checked("answer-sensor", program.give("answer-sensor", answer))
    assert checked("questions", program.get(f"/watches/{uid}/questions"))["items"] == []
