"""A photograph now, read later, with a thumb."""

from playwright.sync_api import FilePayload, Page, expect

from tests.dials import picture, png
from tests.web.rounds import register
from tracker.store import log
from tracker.store.store import Store


def test_a_photograph_taken_in_the_round_is_read_on_the_watch_page(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 41)
    refused = list[str]()
    phone.on("console", lambda said: refused.append(said.text) if said.type == "error" else None)
    phone.goto("/")
    phone.get_by_text("What the hands showed, or more").click()
    phone.get_by_label("Or a photograph of its dial, to be read later").set_input_files(
        {"name": "dial.png", "mimeType": "image/png", "buffer": png()}
    )
    phone.get_by_role("button", name="Wound – it had stopped").click()
    expect(phone.get_by_role("status")).to_contain_text("found stopped.")
    phone.goto(f"/watch/{uid}")
    expect(phone.get_by_role("heading", name="Hands to be read from a photograph of today 07:25")).to_be_visible()
    picture = phone.get_by_role("img", name="The dial as it was photographed")
    assert picture.bounding_box()["width"] >= 240  # type: ignore[index]  # shown just above
    phone.get_by_label("What the hands showed", exact=True).fill("437")
    phone.get_by_role("button", name="Save the reading").click()
    expect(phone.get_by_text("Hands to be read")).to_have_count(0)
    assert log.entry_rows(store.reading(), uid)[0]["shown"] == "4:37"
    expect(phone.get_by_role("link", name="photograph")).to_be_visible()
    assert refused == []


def test_photographs_of_a_watch_are_sent_in_chosen_and_taken_out_by_thumb(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 2)
    refused = list[str]()
    phone.on("console", lambda said: refused.append(said.text) if said.type == "error" else None)
    phone.goto(f"/watch/{uid}")
    phone.get_by_text("Add a photograph of it").click()
    phone.get_by_label("From the camera, or pictures you have").set_input_files(
        [FilePayload(name=f"{n}.jpg", mimeType="image/jpeg", buffer=picture("JPEG", 900, n)) for n in (600, 300)]
    )
    phone.get_by_role("button", name="Add", exact=True).click()
    beside = phone.get_by_role("img", name="Photograph of Night ferry, larger")
    assert beside.evaluate("img => img.decode().then(() => [img.naturalWidth, img.naturalHeight])") == [200, 133]
    phone.get_by_role("button", name="Show it beside the name").click()
    assert beside.evaluate("img => img.decode().then(() => [img.naturalWidth, img.naturalHeight])") == [200, 67]
    phone.get_by_role("button", name="Take out photograph 1").click()
    phone.get_by_role("button", name="Take out photograph 1").click()
    expect(beside).to_have_count(0)
    phone.get_by_role("button", name="Undo").click()
    expect(beside).to_have_count(1)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    assert refused == []
