import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import jsonschema
import pytest

from tests.web.rounds import HOUR, NOW, figures, give, register, seen, wound
from tracker import outbound
from tracker.collection import owner_code
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.core.timeline import Sighting
from tracker.figures import Figures
from tracker.outbound import GONE, Outbound, Send, state, states, topic
from tracker.store.store import Store

SCHEMA = json.loads((Path(outbound.__file__).parent / "state.schema.json").read_text())
STOPPED = Sighting(uid="x", at=NOW - HOUR, zone="UTC", seen="stopped")


@pytest.mark.parametrize(
    "each",
    [
        figures("Night ferry", wound(3.0)),
        figures("Late", wound(41.0)),
        figures("Gone", wound(200.0)),
        figures("Stopped", wound(60.0), STOPPED),
        figures("Looked at", seen(2.0)),
        figures("Nothing known"),
    ],
)
def test_every_state_is_as_its_schema_says(each: Figures) -> None:
    jsonschema.validate(state(each, None), SCHEMA)
    jsonschema.validate(state(each, "service advised"), SCHEMA)


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_nothing_but_the_nickname_says_which_watch_it_is() -> None:
    each = figures("Night ferry", wound(3.0))
    told = state(replace(each, watch=replace(each.watch, place="The safe", serial="17", value="much")), None)
    assert "safe" not in str(told)
    assert "17" not in json.dumps({**told, "hours_left": None, "wind_by": None})
    assert told["hours_left"]["low"] == pytest.approx((each.standing.wind_by - NOW) / HOUR, abs=0.06)  # type: ignore[operator]  # there is one


def taking(sent: list[dict[str, bytes]], *, takes: bool = True) -> Send:
    """A broker that takes what is sent, or does not."""

    def send(messages: dict[str, bytes]) -> bool:
        sent.append(messages)
        return takes

    return send


@pytest.fixture
def published(store: Store) -> Store:
    register(store, "Night ferry", 3.0)
    give(store, ChangeSettings(zone="UTC", publish_states=True))
    return store


def test_until_it_is_switched_on_nothing_is_sent(store: Store) -> None:
    register(store, "Night ferry", 3.0)
    sent: list[dict[str, bytes]] = []
    Outbound(store, "p", taking(sent), lambda: NOW).send_changed()
    assert sent == []


def test_what_changed_is_sent_and_no_more(published: Store) -> None:
    sent: list[dict[str, bytes]] = []
    moments = [NOW]
    out = Outbound(published, "p", taking(sent), lambda: moments[-1])
    out.send_changed()
    out.send_changed()
    assert len(sent) == 1
    moments.append(NOW + HOUR)
    out.send_changed()
    assert len(sent) == 2
    ((name, payload),) = sent[1].items()
    assert name.startswith(f"p/{owner_code(published.reading())}/")
    jsonschema.validate(json.loads(payload), SCHEMA)


def test_what_the_broker_did_not_take_is_sent_again(published: Store) -> None:
    tries: list[dict[str, bytes]] = []
    out = Outbound(published, "p", taking(tries, takes=False), lambda: NOW)
    out.send_changed()
    out.send_changed()
    assert len(tries) == 2


def test_switched_off_and_put_away_everything_retained_is_taken_away(published: Store) -> None:
    each: list[dict[str, bytes]] = []
    out = Outbound(published, "p", taking(each), lambda: NOW)
    away = register(published, "Bar buoy", 2.0)
    out.send_changed()
    give(published, ArchiveWatch(watch_uid=away))
    out.send_changed()
    assert each[-1][topic("p", owner_code(published.reading()), away)] == GONE
    give(published, ChangeSettings(zone="UTC", publish_states=False))
    out.send_changed()
    retained = {name: payload for messages in each for name, payload in messages.items()}
    assert set(retained.values()) == {GONE}


def test_a_customers_watch_is_never_told(published: Store) -> None:
    job = RegisterWatch(nickname="A customer's", job_number="W-1")
    give(published, job)
    told = states(published, NOW + timedelta(minutes=1), "p")
    assert told[topic("p", owner_code(published.reading()), job.uid)] == GONE
