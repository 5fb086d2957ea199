"""What changed lately: every kind in words, by whom and from where, with undo or why there is none."""

import re
from dataclasses import replace
from datetime import timedelta
from typing import get_args

import pytest
from flask.testing import FlaskClient

from tests.web.household import GRETE, HELPERS, household, logged_in, site, the_owner
from tests.web.rounds import HOUR, LONDON, NOW, client, give, register
from tracker.collection import owner
from tracker.commands.base import Command, Origin
from tracker.commands.door import COMMANDS, submit
from tracker.commands.log import LogService, LogSighting, LogWind, VoidEntry
from tracker.commands.register import ArchiveWatch, EditWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.newest import KINDS
from tracker.store import batches
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.changes import AT_ONCE
from tracker.web.changewords import BUILT_UPON, HAS_ENTRIES, IS_UNDO, OF_THE_EXAMPLE, ORIGINS, Change, changes

A, B = uid_of("a"), uid_of("b")


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def shown(store: Store, *, watch_uid: str = "") -> list[Change]:
    return changes(store.reading(), batches.newest(store.reading(), 20, watch_uid=watch_uid), NOW, LONDON)


def by(store: Store, person_uid: str, *commands: Command, origin: Origin = "page") -> None:
    submit(store, commands, replace(owner(store, origin, NOW), person_uid=person_uid))


def wind(uid: str = A, hours_ago: float = 1, note: str = "") -> LogWind:
    return LogWind(watch_uid=uid, at=NOW - hours_ago * HOUR, zone="UTC", found="going", note=note)


def test_every_command_and_every_way_in_has_its_words() -> None:
    assert COMMANDS.keys() - KINDS.keys() == {"Undo"}
    assert set(get_args(Origin)) <= set(ORIGINS)


def test_every_command_that_points_at_a_row_instead_of_a_watch_is_looked_for_there() -> None:
    pointing = {
        (name, field)
        for name, command in COMMANDS.items()
        if "watch_uid" not in command.model_fields
        for field in batches.POINTERS.keys() & command.model_fields.keys()
    }
    assert pointing == {(kind, field) for field, kinds in batches.POINTERS.items() for kind in kinds}


def test_a_change_tells_what_of_which_watch_by_whom_and_from_where(store: Store) -> None:
    give(store, RegisterWatch(uid=A, nickname="Anna"))
    submit(store, [wind(note="in haste")], owner(store, "command line", NOW))
    first, second = shown(store)
    assert (first.what, first.watches, first.who) == ("A winding", ((A, "Anna"),), "owner, on the command line")
    assert first.detail == "today 06:25: Wound fully; it was going; in haste"
    assert (first.undo, first.why_not) != ("", "")
    assert (second.what, second.detail, second.undo, second.why_not) == ("A watch added", "", "", HAS_ENTRIES)


def test_an_edit_tells_what_is_different_by_it(store: Store) -> None:
    give(store, RegisterWatch(uid=A, nickname="Anna", place="safe"))
    give(store, EditWatch(watch_uid=A, nickname="Anne", habit="keep going"))
    edit, added = shown(store)
    assert (edit.what, edit.detail) == (
        "A watch edited",
        "It was called Anna; Habit: kept going; Place: no longer said",
    )
    assert (added.undo, added.why_not) == ("", BUILT_UPON)
    submit(store, [Undo()], owner(store, "page", NOW))
    undo, edit, added = shown(store)
    assert (undo.what, undo.watches, undo.why_not) == ("Taken back: a watch edited", ((A, "Anna"),), IS_UNDO)
    assert edit.why_not == "Taken back by owner today 07:25."
    assert added.undo


def test_what_points_at_an_entry_is_told_with_its_watch(store: Store) -> None:
    give(store, RegisterWatch(uid=A, nickname="Anna"), noted := wind())
    give(store, VoidEntry(entry_uid=noted.uid))
    (taken_out, _) = shown(store)
    assert (taken_out.what, taken_out.watches) == ("An entry taken out", ((A, "Anna"),))
    assert taken_out.detail.startswith("today 06:25: Wound fully")
    assert [each.what for each in shown(store, watch_uid=A)] == ["An entry taken out", "A watch added and a winding"]


def test_of_one_watch_nothing_of_another(store: Store) -> None:
    give(store, RegisterWatch(uid=A, nickname="Anna"))
    give(store, RegisterWatch(uid=B, nickname="Berta"))
    give(store, ChangeSettings(notice_h=5))
    give(store, wind(B))
    give(store, wind(A), wind(B, 2))
    give(store, ArchiveWatch(watch_uid=B))
    assert [each.what for each in shown(store, watch_uid=A)] == ["Two windings", "A watch added"]
    assert len(shown(store, watch_uid=B)) == 4


def test_the_page_offers_undo_and_tells_why_not_and_undo_comes_back_to_it(store: Store, browser: FlaskClient) -> None:
    give(store, RegisterWatch(uid=A, nickname="Anna & <b>"))
    give(store, wind())
    text = browser.get(f"/changes?watch={A}").text
    assert "Changed last of Anna &amp; &lt;b&gt;: a winding, today 07:25." in text
    (batch,) = re.findall(r'name="batch" value="([^"]+)"', text)
    answer = browser.post("/log/undo", data={"batch": batch, "next": f"/changes?watch={A}"})
    assert answer.headers["Location"] == f"/changes?watch={A}"
    text = browser.get("/changes").text
    assert "Changed last: taken back: a winding, today 07:25." in text
    assert "Taken back by owner today 07:25." in text


def test_pages_follow_each_other_without_loss_however_large_a_batch_is(store: Store, browser: FlaskClient) -> None:
    assert "Nothing was changed yet." in browser.get("/changes").text
    give(store, *(RegisterWatch(nickname=f"Watch {n:02d}") for n in range(50)))
    give(store, RegisterWatch(uid=A, nickname="Anna"))
    for n in range(AT_ONCE):
        give(store, wind(A, n + 1))
    text, seen = browser.get("/changes").text, 0
    while True:
        seen += len(re.findall(r"<tr[ >](?!<th)", text))
        older = re.search(r'href="(/changes\?before=\d+)"', text)
        if older is None:
            break
        text = browser.get(older[1]).text
        assert "What was changed until today 07:25" in text
    assert seen == AT_ONCE + 2
    assert "50 watches added" in text
    assert "…)" in text


@pytest.mark.parametrize(
    "query", ["before=0", "before=-1", "before=x", "before=" + "9" * 40, "watch=none", "person=none", "before=²"]
)
def test_an_address_that_asks_for_nonsense_is_answered(store: Store, browser: FlaskClient, query: str) -> None:
    register(store, "Anna", 2)
    assert browser.get(f"/changes?{query}").status_code == 200


def test_an_owner_takes_back_what_a_helper_did_and_a_helper_only_their_own(store: Store) -> None:
    household(store)
    give(store, RegisterWatch(uid=A, nickname="Anna"))
    give(store, mine := wind())
    by(store, GRETE, theirs := LogSighting(watch_uid=A, at=NOW, zone="UTC", seen="going"))
    grete = logged_in(site(store), "Grete", HELPERS)
    assert grete.get("/changes").status_code == 403
    assert "There is nothing to undo." in grete.post("/log/undo", data={"batch": mine.uid}).text
    browser = the_owner(site(store))
    assert f"By {'Grete'} alone." in browser.get(f"/changes?person={GRETE}").text
    assert browser.get(f"/changes?person={GRETE}").text.count('name="batch"') == 1
    browser.post("/log/undo", data={"batch": theirs.uid})
    assert shown(store)[1].why_not == "Taken back by owner today 07:25."


def test_a_change_of_long_ago_still_tells_and_a_removed_watch_is_not_linked(store: Store) -> None:
    give(store, RegisterWatch(uid=A, nickname="Anna"))
    submit(store, [Undo()], owner(store, "page", NOW + timedelta(days=9)))
    undo, added = shown(store)
    assert (undo.watches, added.watches) == ((), ())


def test_many_kinds_at_once_are_counted_in_the_first_line_and_the_examples_past_stays(
    store: Store, browser: FlaskClient
) -> None:
    given = RegisterWatch(uid=A, nickname="Anna"), wind(), LogService(watch_uid=A, at=NOW, zone="UTC")
    submit(store, [*given, LogSighting(watch_uid=A, at=NOW, zone="UTC", seen="going")], owner(store, "example", NOW))
    text = browser.get("/changes").text
    assert "<h1>Changed last: 4 changes at once, today 07:25.</h1>" in text
    assert "A watch added, a winding, a sighting and a service" in text
    assert ('name="batch"' in text, OF_THE_EXAMPLE in text) == (False, True)


def test_a_service_with_what_was_done_is_told(store: Store) -> None:
    give(store, RegisterWatch(uid=A, nickname="Anna"))
    give(store, LogService(watch_uid=A, at=NOW, zone="UTC", work_done="cleaned"))
    assert shown(store)[0].detail == "today 07:25: Back from service; cleaned"
