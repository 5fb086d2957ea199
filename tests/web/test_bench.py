"""A run-down test by thumb: begun, looked at, its stop read, broken off, taken back."""

import re
from datetime import datetime, timedelta

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import HOUR, NOW, give, register
from tracker.commands.log import LogSighting, LogWind
from tracker.commands.register import RegisterWatch
from tracker.store import log
from tracker.store.benchtests import ended_tests, open_tests
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app


class Hands:
    """A person at the bench, whose clock can be moved on."""

    def __init__(self, store: Store) -> None:
        self.now = NOW
        app = create_app(store, now=lambda: self.now)
        app.config["WTF_CSRF_ENABLED"] = False
        self.client: FlaskClient = app.test_client()

    def head(self, path: str = "/bench") -> str:
        found = re.search(r"<h1>(.*?)</h1>", self.client.get(path).text)
        assert found is not None
        return found[1]

    def begin(self, watch_uid: str, **fields: str) -> str:
        given = {
            "uid": uid_of(watch_uid, "test"),
            "occasion": "after service",
            "position": "CH",
            "set": "yes",
            "when": "now",
        }
        answer = self.client.post(f"/bench/begin/{watch_uid}", data=given | fields, follow_redirects=True)
        return answer.text

    def look(self, store: Store, do: str, **fields: str) -> str:
        (test,) = open_tests(store.reading())
        given = {f"{name}-{test.uid}": value for name, value in fields.items()}
        data = {"do": do, "key": self.now.isoformat(), **given}
        return self.client.post(f"/bench/{test.uid}/look", data=data, follow_redirects=True).text

    def end(self, store: Store, how: str, reason: str = "") -> str:
        (test,) = open_tests(store.reading())
        data = {"how": how, f"reason-{test.uid}": reason, "key": self.now.isoformat()}
        return self.client.post(f"/bench/{test.uid}/end", data=data, follow_redirects=True).text


@pytest.fixture
def hands(store: Store) -> Hands:
    return Hands(store)


def later(at: datetime, hours: float) -> datetime:
    return at + timedelta(hours=hours)


def test_before_the_first_one_it_says_so_and_is_not_in_the_navigation(hands: Hands) -> None:
    assert hands.head() == "No run-down test is going."
    assert 'href="/bench"' not in hands.client.get("/").text


def test_once_used_it_is(store: Store, hands: Hands) -> None:
    give(store, RegisterWatch(nickname="Bench two", job_number="W-1"))
    assert 'href="/bench"' in hands.client.get("/").text
    assert "W-1" in hands.client.get("/bench").text


def test_begun_the_wind_is_in_the_log_with_its_hands_set(store: Store, hands: Hands) -> None:
    uid = register(store, "Night ferry")
    assert "Wound, and under test: Night ferry." in hands.begin(uid)
    (wind,) = log.entry_rows(store.reading(), uid)
    assert (wind["table"], wind["amount"], wind["hands"]) == ("winding", "full", "set now")
    assert re.fullmatch(r"One run-down going; next look at (\w+ )?\d\d:\d\d\.", hands.head())


def test_the_round_asks_for_nothing_and_the_watch_says_why(store: Store, hands: Hands) -> None:
    uid = register(store, "Night ferry", 60)
    hands.begin(uid)
    hands.now = later(NOW, 38)
    assert "Night ferry" not in hands.client.get("/").text.partition('class="board"')[0].partition("<main")[2]
    assert "under a run-down test" in hands.head(f"/watch/{uid}")


def test_a_look_that_sees_it_going_plans_the_next_one(store: Store, hands: Hands) -> None:
    hands.begin(register(store, "Night ferry"))
    before = hands.head()
    hands.now = later(NOW, 37)
    assert "a look is due" in hands.head() or "next look" in hands.head()
    assert "Seen going last" in hands.look(store, "going")
    assert hands.head() != before
    assert "next look" in hands.head()


def test_a_stop_whose_hands_are_read_is_the_run_down_and_ends_the_test(store: Store, hands: Hands) -> None:
    uid = register(store, "Night ferry")
    hands.begin(uid)
    hands.now = later(NOW, 48)
    text = hands.look(store, "stopped", shown="0:25")
    assert ended_tests(store.reading(), 1)[0].ended_by == "stop read"
    assert "Its stop was read off its hands" in text
    # Wound at 7:25, the hands at 0:25: 41 hours (29 is hardly so).
    assert re.search(r"4[01](\.\d)? h", text)


def test_a_stop_without_its_hands_asks_for_them_and_may_be_ended_without(store: Store, hands: Hands) -> None:
    hands.begin(register(store, "Night ferry"))
    hands.now = later(NOW, 48)
    assert "Its hands show" in hands.look(store, "stopped")
    assert hands.head() == "One run-down is over."
    hands.end(store, "stop seen")
    assert hands.head() == "No run-down test is going."


def test_its_hands_read_later_count(store: Store, hands: Hands) -> None:
    hands.begin(register(store, "Night ferry"))
    hands.now = later(NOW, 48)
    hands.look(store, "stopped")
    hands.now = later(NOW, 48.2)
    hands.look(store, "stopped", shown="025")
    assert ended_tests(store.reading(), 1)[0].ended_by == "stop read"


def test_hands_never_set_tell_nothing_and_are_not_asked_for(store: Store, hands: Hands) -> None:
    text = hands.begin(register(store, "Night ferry"), set="")
    assert "looks alone tell its stop" in text
    assert "what its hands show" not in text
    hands.now = later(NOW, 48)
    hands.look(store, "stopped")
    assert ended_tests(store.reading(), 1)[0].ended_by == "stop seen"


def test_broken_off_it_needs_a_reason(store: Store, hands: Hands) -> None:
    hands.begin(register(store, "Night ferry"))
    assert "Why it was broken off is missing." in hands.end(store, "broken off")
    assert "Broken off: needed today" in hands.end(store, "broken off", "needed today")


def test_hands_that_cannot_be_come_back_beside_their_field(store: Store, hands: Hands) -> None:
    uid = register(store, "Night ferry")
    hands.begin(uid)
    assert "“99:99” is not a time on a dial." in hands.look(store, "stopped", shown="99:99")
    assert len(log.entry_rows(store.reading(), uid)) == 1


def test_several_go_at_once_each_with_its_look(store: Store, hands: Hands) -> None:
    for name in ("A", "B"):
        hands.begin(register(store, name))
    assert hands.head().startswith("Two run-downs going; next look at ")


def test_a_stop_noted_elsewhere_counts_here(store: Store, hands: Hands) -> None:
    uid = register(store, "Night ferry")
    hands.begin(uid)
    hands.now = later(NOW, 44)
    give_later = LogSighting(watch_uid=uid, at=hands.now, zone="UTC", seen="stopped")
    hands.client.post("/log/tap", data={"do": f"seen-stopped {uid}", "key": "a page"})
    assert give_later.seen == "stopped"
    assert hands.head() == "One run-down is over."


def test_the_beginning_is_one_change_that_undo_takes_back(store: Store, hands: Hands) -> None:
    uid = register(store, "Night ferry")
    batch = re.search(r'name="batch" value="([^"]+)"', hands.begin(uid))
    assert batch is not None
    hands.client.post("/log/undo", data={"batch": batch[1]})
    assert log.entry_rows(store.reading(), uid) == []
    assert open_tests(store.reading()) == []


def test_an_automatic_is_wound_by_its_number_of_turns_and_a_crown_not_forced(store: Store, hands: Hands) -> None:
    auto = RegisterWatch(nickname="Auto", wound_by="crown and rotor", crown_turns_to_full=40)
    give(store, auto)
    assert "Stop at its 40 turns; it gives no resistance." in hands.client.get(f"/bench/begin/{auto.uid}").text
    by_crown = register(store, "Hand-wound")
    text = hands.client.get(f"/bench/begin/{by_crown}").text
    assert "not force a crown past its resistance" in text


def test_a_wind_long_ago_begins_no_test(store: Store, hands: Hands) -> None:
    uid = register(store, "Night ferry")
    give(store, LogWind(watch_uid=uid, at=NOW - HOUR, zone="UTC"))
    text = hands.begin(uid, when="about", clock="05:00")
    assert "It was wound again since" in text
    assert open_tests(store.reading()) == []


def test_what_is_not_there_is_said(hands: Hands) -> None:
    for path in (f"/bench/{uid_of('x')}/look", f"/bench/{uid_of('x')}/end"):
        assert hands.client.post(path).status_code == 404
    assert hands.client.get(f"/bench/begin/{uid_of('x')}").status_code == 404


def test_a_customers_watch_under_test_or_gone_out_waits_for_no_test(store: Store) -> None:
    hands = Hands(store)
    given = [
        RegisterWatch(nickname="Regulator", job_number="W-7"),
        RegisterWatch(nickname="Grey dial", job_number="W-8", went_out=NOW.date()),
    ]
    give(store, *given)
    assert hands.client.get("/bench").text.count("begin a run-down test") == 1
    hands.begin(given[0].uid)
    assert "begin a run-down test" not in hands.client.get("/bench").text
