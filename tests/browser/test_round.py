"""The daily act with a thumb: wind by a tap, undo, a whole sitting, a reading that can't be."""

import re

from playwright.sync_api import Locator, Page, expect

from tests.web.rounds import register
from tracker.store import choices, log
from tracker.store.store import Store


def row(phone: Page, nickname: str) -> Locator:
    return phone.get_by_role("region", name=nickname)


def winds(store: Store, *uids: str) -> int:
    return sum(len(log.entry_rows(store.reading(), uid)) for uid in uids)


def test_a_tap_winds_and_undo_takes_it_back_at_once(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 31)
    phone.goto("/")
    row(phone, "Night ferry").get_by_role("button", name="Wound – it was going").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^Nothing to wind before"))
    assert winds(store, uid) == 2
    phone.get_by_role("button", name="Undo").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^One to wind this morning;"))
    assert winds(store, uid) == 1


def test_one_tap_serves_a_whole_sitting_but_for_the_unticked(phone: Page, store: Store) -> None:
    a, b, c = (register(store, name, 31) for name in ("A", "B", "C"))
    phone.goto("/")
    phone.get_by_text("Choose which …").click()
    phone.get_by_role("checkbox", name="B").uncheck()
    phone.get_by_label("When").select_option("this morning")
    phone.get_by_role("button", name="All three wound, all were going").click()
    expect(phone.get_by_role("status")).to_contain_text("Noted: A, C wound this morning, found going.")
    assert (winds(store, a, c), winds(store, b)) == (4, 1)
    assert log.entry_rows(store.reading(), a)[0]["within_min"] == 180.0


def test_hands_that_cannot_be_come_back_by_their_field_and_then_count(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 41)
    phone.goto("/")
    phone.get_by_text("What the hands showed, or more").click()
    hands = phone.get_by_label("It had stopped and the hands showed")
    hands.fill("99:99")
    row(phone, "Night ferry").get_by_role("button", name="Wound – it had stopped").click()
    expect(phone.get_by_text("“99:99” is not a time on a dial.")).to_be_visible()
    expect(hands).to_have_value("99:99")
    assert winds(store, uid) == 1
    hands.fill("437")
    row(phone, "Night ferry").get_by_role("button", name="Wound – it had stopped").click()
    expect(phone.get_by_role("status")).to_contain_text("Noted: Night ferry wound now, found stopped.")
    assert log.entry_rows(store.reading(), uid)[0]["shown"] == "4:37"


def test_enter_in_a_field_notes_nothing(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 41)
    phone.goto("/")
    phone.get_by_text("What the hands showed, or more").click()
    hands = phone.get_by_label("It had stopped and the hands showed")
    hands.fill("437")
    hands.press("Enter")
    expect(phone.get_by_role("alert")).to_contain_text("nothing was noted")
    expect(hands).to_have_value("437")
    assert winds(store, uid) == 1


def test_the_time_is_asked_only_where_it_is_said_by_the_clock(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 31)
    phone.goto("/")
    clock = phone.get_by_label("time", exact=True)
    expect(clock).to_be_hidden()
    phone.get_by_label("When").select_option("at about …")
    clock.fill("6:50")
    row(phone, "Night ferry").get_by_role("button", name="Wound – it was going").click()
    expect(phone.get_by_role("status")).to_be_visible()
    assert log.entry_rows(store.reading(), uid)[0]["at_utc"] == "2026-11-25T06:50:00Z"


def test_on_a_phone_nothing_runs_off_and_buttons_are_as_wide_as_a_thumb(phone: Page, store: Store) -> None:
    for name in ("Night ferry", "The travelling watch of my aunt’s second husband, from Hull"):
        register(store, name, 41)
    phone.goto("/")
    box = phone.locator("main").bounding_box()
    assert box is not None
    assert box["width"] <= 390
    for button in phone.get_by_role("button", name="Wound –").all():
        size = button.bounding_box()
        assert size is not None
        assert size["width"] >= 44
        assert size["height"] >= 44
        assert size["x"] + size["width"] <= 390


def test_no_name_on_the_board_is_crossed_by_now(phone: Page, store: Store) -> None:
    register(store, "The travelling watch of my aunt", 10)
    phone.goto("/")
    name, line = (
        phone.locator(".board .line a").bounding_box(),
        phone.locator(".board .strip .now").bounding_box(),
    )
    assert name is not None
    assert line is not None
    assert name["y"] + name["height"] <= line["y"] + 0.5


def test_the_browser_has_nothing_to_complain_about(phone: Page, store: Store) -> None:
    register(store, "Night ferry", 31)
    said: list[str] = []
    phone.on("console", lambda message: said.append(message.text))
    phone.on("pageerror", lambda error: said.append(str(error)))
    phone.goto("/")
    assert said == []


def test_two_taps_move_a_watch_to_another_round_and_one_takes_it_back(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 20)
    phone.goto("/")
    phone.get_by_role("link", name="Night ferry").last.click()
    phone.get_by_role("button", name="Tomorrow 07:30").click()
    expect(phone.get_by_role("status")).to_contain_text(re.compile(r"now planned for tomorrow 07:30, \d+ h too late"))
    expect(phone.get_by_role("status")).to_be_in_viewport()
    assert set(choices.chosen(store.reading())) == {uid}
    phone.get_by_role("button", name="Undo").click()
    expect(phone.get_by_text("You chose a round for")).to_have_count(0)
    assert choices.chosen(store.reading()) == {}
