import json
from contextlib import closing
from pathlib import Path

import pytest

from sensors.brokerusers import SENSORS, users_of
from tests.cli.conftest import NOW, Going
from tracker.collection import open_collection
from tracker.store import sensors as shelf

ADD = ("sensor", "add", "tray-3", "--topic", "house/tray/3", "--expected", "60")


@pytest.fixture
def used(going: Going) -> Going:
    going("add", "Night ferry")
    return going


def _lines(folder: Path, *messages: str) -> str:
    file = folder / "messages"
    file.write_text("\n".join(messages) + "\n")
    return str(file)


def test_a_sensor_is_set_up_with_its_watch_and_listed(used: Going) -> None:
    code, said, complaint = used(*ADD, "--watch", "Night")
    assert (code, said, complaint) == (0, "Set up: tray-3. To take it back: going undo\n", "")
    head, row = used("sensor", "list")[1].splitlines()
    assert head.split()[0] == "sensor"
    assert row.split() == ["tray-3", "house/tray/3", "Night", "ferry", "never", "0", "0"]
    (found,) = json.loads(used("sensor", "list", "--json")[1])
    assert (found["name"], found["watch"], found["last_heard"]) == ("tray-3", "Night ferry", None)


def test_without_sensors_it_says_how_to_begin(used: Going) -> None:
    assert "going sensor add NAME" in used("sensor", "list")[1]


def test_a_wrong_set_up_is_refused_by_its_field(used: Going) -> None:
    code, _, complaint = used(*ADD, "--value-at", "tick")
    assert code == 2
    assert "“tick” is no JSON pointer." in complaint


def test_what_it_reports_says_the_kind(used: Going) -> None:
    assert used("sensor", "add", "box", "--topic", "box", "--expected", "60", "--reports", "counter")[0] == 0
    assert json.loads(used("sensor", "list", "--json")[1])[0]["kind"] == "winder"
    assert used("sensor", "edit", "box", "--reports", "boolean")[0] == 0
    assert json.loads(used("sensor", "list", "--json")[1])[0]["kind"] == "rest"


def test_a_set_up_is_changed_by_what_is_given_alone(used: Going, folder: Path) -> None:
    used(*ADD, "--written", "json", "--value-at", "/s/tick", "--time-at", "/t", "--restarts-at-zero")
    said = used(
        "sensor", "edit", "tray", "--name", "tray-4", "--expected", "30", "--time-at", "", "--no-restarts-at-zero"
    )
    assert said == (0, "Set-up changed: tray-4. To take it back: going undo\n", "")
    with closing(open_collection(folder, NOW)) as store:
        (found,) = shelf.sensors(store.reading())
        row = shelf.sensor_row(store.reading(), found.uid) or {}
    assert (found.name, found.topic, found.expected_s, found.form.written) == ("tray-4", "house/tray/3", 30.0, "json")
    assert (found.form.value_at, found.form.time_at, row["restarts_at_zero"]) == (("s", "tick"), None, 0)
    used("undo")
    assert "tray-3" in used("sensor", "list")[1]


def test_a_change_that_cannot_be_is_told_by_its_option(used: Going) -> None:
    used(*ADD)
    code, _, complaint = used("sensor", "edit", "tray", "--expected", "soon")
    assert code == 2
    assert "--expected: “soon” is not a number." in complaint
    code, _, complaint = used("sensor", "edit", "tray")
    assert code == 2
    assert "No change is given. Give what is to change, such as --expected 30." in complaint


def test_a_set_up_is_tried_on_messages(used: Going, tmp_path: Path) -> None:
    used(*ADD, "--written", "json", "--value-at", "/s/tick", "--time-at", "/t")
    messages = _lines(tmp_path, '{"s": {"tick": true}, "t": 1795591500}', '{"s": {}}', "?")
    said = used("sensor", "test", "tray", "--message", messages)[1].splitlines()
    assert said == [
        "going, today 08:25:00",
        "There is nothing at “/s/tick” in the message.",
        "The message is not JSON.",
    ]


def test_ways_to_read_a_message_are_proposed(used: Going, tmp_path: Path) -> None:
    said = used("sensor", "test", "--message", _lines(tmp_path, '{"tick": false, "level": 0.3}'))[1].splitlines()
    assert said[0] == "  --written json --value-at /tick  →  stopped, timed by its arrival"
    assert "  --written json --value-at /level --reports level  →  0.3, timed by its arrival" in said
    assert (
        used("sensor", "test", "--message", _lines(tmp_path, "hello"))[1] == "No way was found to read this message.\n"
    )


def test_a_watch_is_laid_on_it_and_taken_off(used: Going) -> None:
    used(*ADD)
    assert used("sensor", "lay", "tray", "Night", "--at", "07:30")[1].startswith(
        "Night ferry lies on tray-3: noted, today 07:30."
    )
    assert "Night ferry" in used("sensor", "list")[1]
    assert used("sensor", "take-off", "tray")[0] == 0
    assert "Night ferry" not in used("sensor", "list")[1]
    code, _, complaint = used("sensor", "take-off", "tray")
    assert code != 0
    assert "No watch is noted to lie there." in complaint


def test_a_sensor_put_away_is_listed_no_longer(used: Going) -> None:
    used(*ADD)
    assert used("sensor", "put-away", "tray-3")[0] == 0
    assert used("sensor", "list")[1].splitlines()[-1] == "Put away: tray-3"
    assert json.loads(used("sensor", "list", "--json")[1]) == []
    code, _, complaint = used("sensor", "lay", "tray", "Night")
    assert code == 4
    assert 'tray-3 is put away. Bring it back: going sensor bring-back "tray-3"' in complaint


def test_a_sensor_put_away_is_brought_back(used: Going) -> None:
    used(*ADD)
    assert "tray-3 is in use already." in used("sensor", "bring-back", "tray")[2]
    used("sensor", "put-away", "tray")
    assert used("sensor", "bring-back", "tray")[1] == "Listened to again: tray-3. To take it back: going undo\n"
    assert [each["name"] for each in json.loads(used("sensor", "list", "--json")[1])] == ["tray-3"]


def test_the_password_for_sensors_at_our_own_broker_is_told(used: Going, folder: Path) -> None:
    assert used("sensor", "password") == (0, users_of(folder)[SENSORS] + "\n", "")


def test_a_name_that_means_none_or_several_is_told(used: Going) -> None:
    used(*ADD)
    used("sensor", "add", "tray-4", "--topic", "x", "--expected", "60")
    assert "may mean tray-3, tray-4. Write more of the name." in used("sensor", "put-away", "tray")[2]
    assert "No sensor's name begins with “box”." in used("sensor", "put-away", "box")[2]
