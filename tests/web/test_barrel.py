"""The Barrel page: what ought it to last?"""

import io
import re
from html import unescape

import pytest
from flask.testing import FlaskClient

from tests.core.barrel.drums import USUAL
from tests.web.rounds import client, give, register
from tracker.commands.barrel import KeepBarrel
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.store import barrels
from tracker.store.store import Store
from tracker.uids import uid_of

UID = "01936f4e-5c00-7000-8000-000000000000"
TYPED = {name: str(value) for name, value in USUAL.items()}


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, ChangeSettings(zone="Europe/London"))
    return client(store)


def page(browser: FlaskClient, **asked: str) -> str:
    answer = browser.get("/barrel", query_string=asked)
    assert answer.status_code == 200
    return answer.text


def said(text: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]*>", "", text)))


def headed(text: str) -> str:
    found = re.search(r"<h1>(.*?)</h1>", text)
    return unescape(found[1]) if found else ""


def problem(text: str, field: str) -> str:
    found = re.search(rf'id="{field}-problem">(.*?)</strong>', text)
    return unescape(found[1]) if found else ""


def test_an_empty_page_asks_and_offers_an_invented_barrel(browser: FlaskClient) -> None:
    text = page(browser)
    assert headed(text) == "What ought a spring to last? Enter drum, arbor, strip and train."
    example = re.search(r'href="(/barrel\?[^"]*)"', text)
    assert example is not None
    assert headed(browser.get(unescape(example[1])).text) == "8.2 turns, 53 h down to 3.0 N mm."


def test_an_address_says_it_all(browser: FlaskClient) -> None:
    text = page(browser, **TYPED)
    assert headed(text) == "8.2 turns, 53 h down to 3.0 N mm."
    assert 'value="0.115"' in text
    assert "Two barrels one behind the other" in text
    assert "What the sums assume" in text
    assert "A wound mainspring can injure" in text
    assert "<noscript>" in text


def test_comma_inch_and_ligne_are_read_and_shown_in_mm(browser: FlaskClient) -> None:
    text = page(browser, **TYPED | {"thickness_mm": "0,115", "drum_diameter_mm": "5 ligne", "height_mm": "0.05 in"})
    assert "= 11.28 mm" in text
    assert "= 1.27 mm" in text
    assert " turns, " in headed(text)


def test_a_spring_in_one_line_fills_its_fields(browser: FlaskClient) -> None:
    sizes = ("height_mm", "thickness_mm", "length_mm", "drum_diameter_mm")
    rest = {name: value for name, value in TYPED.items() if name not in sizes}
    text = page(browser, **rest, spring="1,30 × 0,115 × 350 × 11")
    assert headed(text) == "8.2 turns, 53 h down to 3.0 N mm."
    assert re.search(r'name="spring"[^>]*value=""', text)
    wrong = page(browser, **rest, spring="1.3 × thin × 350")
    assert problem(wrong, "spring").startswith("“thin” is not a number of millimetres.")


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("thickness_mm", "thin", "“thin” is not a length."),
        ("arbor_diameter_mm", "12", "An arbor of 12 mm does not go into a drum of 11 mm"),
        ("efficiency", "1.5", "1.5 is too large. Give 1 or less."),
        ("barrels", "two", "“two” is not a whole number."),
        ("barrel_teeth", "78", "Teeth of the barrel and leaves of its pinion go together."),
        ("other_thickness_mm", "9", "A strip 9 mm thick does not go into"),
        ("to_vph", "3", "3 is too small."),
    ],
)
def test_a_wrong_field_gets_one_sentence_beside_it(browser: FlaskClient, field: str, typed: str, sentence: str) -> None:
    text = page(browser, **TYPED | {field: typed})
    assert problem(text, field).startswith(sentence)
    assert f'value="{typed}"' in text


def test_what_is_missing_is_named(browser: FlaskClient) -> None:
    text = page(browser, drum_diameter_mm="11", height_mm="1.3")
    assert headed(text).startswith("No sum yet; still needed: the arbor's diameter, the strip's thickness")
    assert "Torque over a run" not in text


def test_without_hours_of_a_turn_turns_are_told_and_no_hours(browser: FlaskClient) -> None:
    text = page(browser, **TYPED | {"hours_per_turn": ""})
    assert headed(text) == "8.2 turns down to 3.0 N mm; how long a turn lasts is not known."
    assert "Reserve, h" not in text


@pytest.mark.parametrize(("works", "start"), [("fusee", "A fusee evens"), ("stop-work", "Stop-work lets only")])
def test_no_sum_is_made_where_none_holds(browser: FlaskClient, works: str, start: str) -> None:
    text = page(browser, **TYPED | {"works": works})
    assert headed(text).startswith(start)
    assert "Beside each other" not in text


def test_weights_have_no_barrel_and_a_key_counts_half_turns(store: Store, browser: FlaskClient) -> None:
    give(store, RegisterWatch(uid=uid_of("w"), nickname="Long case", wound_by="weights"))
    give(store, RegisterWatch(uid=uid_of("k"), nickname="Old key", wound_by="key"))
    assert headed(page(browser, watch=uid_of("w"))).startswith("It goes by weights, so there is no barrel sum")
    assert "about 16 of them" in said(page(browser, watch=uid_of("k"), **TYPED))


def test_what_if_stands_beside_the_present(browser: FlaskClient) -> None:
    asked = {
        "from_vph": "18000",
        "to_vph": "21600",
        "other_thickness_mm": "0.105",
        "other_drum_mm": "12",
        "better": "1.3",
    }
    text = said(page(browser, **TYPED, **asked))
    for name in ("At 21600 vibrations an hour, as wide a swing", "A strip 0.105 mm thick", "A drum of 12 mm"):
        assert name in text
    assert "With the old train the hours of a turn stay as they are, and nothing is gained." in text
    assert "A train better by a factor of 1.3" in text
    assert "the strip is as thick as runs longest" in text


def test_a_thinner_strip_than_the_best_is_said_to_run_shorter(browser: FlaskClient) -> None:
    text = said(page(browser, **TYPED | {"least_torque_nmm": "1"}))
    assert re.search(r"a strip of 0\.\d\d\d mm runs longest, \d+ % thinner than the one in it", text)
    assert "enter the least torque" in said(page(browser, **TYPED | {"least_torque_nmm": ""}))


def test_a_gauge_fits_the_curve_and_both_are_shown(browser: FlaskClient) -> None:
    read = {"gauge_full_nmm": "7", "gauge_later_nmm": "4.5", "gauge_turns": "4"}
    text = said(page(browser, **TYPED, **read))
    assert "As it is, fitted to the gauge" in text
    assert "As reckoned, without the gauge" in text
    assert "This curve is fitted to two readings of a torque gauge" in text


def test_a_barrel_is_kept_edited_and_taken_back(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 30, 6)
    assert ">Barrel</a>" not in browser.get("/services").text
    assert f'href="/barrel?watch={uid}"' in browser.get(f"/watch/{uid}").text
    assert headed(page(browser, watch=uid)) == "What ought Night ferry to last? Nothing is kept of its barrel yet."
    answer = browser.post("/barrel/keep", data={"uid": UID, "watch": uid, **TYPED})
    assert answer.status_code == 303
    text = browser.get(answer.location).text
    assert headed(text) == "8.2 turns, 53 h down to 3.0 N mm."
    assert "The barrel of Night ferry is kept." in text
    assert ">Barrel</a>" in browser.get("/services").text
    stale = browser.post("/barrel/keep", data={"uid": uid_of("x"), "watch": uid, **TYPED, "length_mm": "330"})
    assert stale.status_code == 409
    assert "Someone changed this since you opened it" in stale.text
    browser.post("/log/undo")
    assert barrels.barrel_of_watch(store.reading(), uid) is None


def test_the_sum_stands_beside_what_was_observed(store: Store, browser: FlaskClient) -> None:
    from tests.web.declines import STEADY, declined  # noqa: PLC0415 -- three years of a log

    uid = declined(store, "Bar buoy", STEADY)
    text = page(browser, watch=uid, **TYPED)
    assert re.fullmatch(r"8\.2 turns, 53 h down to 3\.0 N mm; observed \d+(\.\d)? h\.", headed(text))
    assert "The log says" in said(text)


LIST = "name,height_mm,thickness_mm,length_mm,barrel_mm\nA,1.3,0.11,360,11\nB,1.3,thin,350,\nC,1.5,0.115,350,11\n"


def test_a_list_is_ranked_its_wrong_rows_told_and_one_is_kept(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 30, 6)
    give(store, KeepBarrel(watch_uid=uid, **USUAL))
    text = browser.post("/barrel", data={"watch": uid, **TYPED, "springs": LIST}).text
    assert "Line 3, column “thickness_mm”: “thin” is not a length." in said(text)
    assert "It is 1.5 mm high, the strip in the barrel 1.3 mm." in said(text)
    form = re.search(
        r"(<form method=\"post\" action=\"/barrel/keep\">(?:(?!</form>).)*Keep this one</button></form>)",
        text,
        re.DOTALL,
    )
    assert form is not None
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form[1]))
    assert browser.post("/barrel/keep", data=fields).status_code == 303
    row = barrels.barrel_of_watch(store.reading(), uid)
    assert row is not None
    assert (row.kept.thickness_mm, row.kept.length_mm, row.kept.source) == (0.11, 360.0, "from the supplier")
    assert row.kept.free_turns == pytest.approx(6.0 * 360 / 350, rel=1e-5)


def test_a_list_may_come_as_a_file_with_semicolons_and_commas(browser: FlaskClient) -> None:
    file = (io.BytesIO("name;spring\nthin;1,3 × 0,11 × 360\n".encode()), "mine.csv")
    answer = browser.post("/barrel", data={**TYPED, "file": file}, content_type="multipart/form-data")
    assert "1.3 × 0.11 × 360" in answer.text
    assert "Off" in answer.text


def test_a_list_without_names_of_columns_is_told(browser: FlaskClient) -> None:
    answer = browser.post("/barrel", data={**TYPED, "springs": "1.3;0.11;360"})
    assert "This file has no columns of these names" in said(answer.text)


def test_the_free_page_leads_to_a_watch(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 30, 6)
    text = page(browser, **TYPED)
    assert f'<option value="{uid}">Night ferry</option>' in text
    assert "Keep this as the barrel of Night ferry" in page(browser, watch=uid, **TYPED)


def test_an_unknown_watch_is_not_found(browser: FlaskClient) -> None:
    assert browser.get("/barrel?watch=nobody").status_code == 404
