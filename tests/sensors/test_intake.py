from sensors.arrivals import Arrivals
from sensors.intake import SHOWN_BYTES, Message, sort_out
from sensors.payload import Form, Reading
from sensors.topics import Routes
from tests.sensors.sensing import messages, payload, rest_sensor, sorted_out

SHELF = rest_sensor()
PLAIN = rest_sensor("plain", form=Form("plain", "boolean"))


def test_readings_come_with_their_messages_in_order() -> None:
    came = messages([(60.0, 1.0), (120.0, 0.0)], SHELF)
    heard = sorted_out(came, SHELF).sensors["shelf"]
    assert heard.readings == [(Reading(60.0, 1.0, stamped=True), came[0]), (Reading(120.0, 0.0, stamped=True), came[1])]
    assert heard.last == came[1]


def test_one_message_may_be_for_several_sensors() -> None:
    batch = sorted_out(
        [Message("watch/1", payload(60.0, 1.0), 60.0)], *(rest_sensor(uid, topic="watch/+") for uid in "ab")
    )
    assert [len(heard.readings) for heard in batch.sensors.values()] == [1, 1]


def test_what_can_not_be_read_is_rejected_with_its_reason_and_stops_nothing() -> None:
    came = [Message("watch/shelf", b"\xff" * 1000, 1.0), *messages([(60.0, 1.0)], SHELF)]
    batch = sorted_out(came, SHELF)
    assert len(batch.sensors["shelf"].readings) == 1
    (rejected,) = batch.rejected
    assert (rejected.reason.why, rejected.sensor_uid, len(rejected.payload)) == ("not UTF-8", "shelf", SHOWN_BYTES)
    assert batch.sensors["shelf"].rejected == 1


def test_a_topic_without_a_sensor_is_counted_and_rejected() -> None:
    batch = sorted_out([Message("cellar", b"on", 5.0)], SHELF)
    assert [(each.topic, each.reason.why) for each in batch.rejected] == [("cellar", "no sensor")]
    assert (batch.topics["cellar"].messages, batch.topics["cellar"].known) == (1, False)
    assert (batch.messages, batch.arrived_s) == (1, 5.0)


def test_a_retained_message_is_heard_and_gives_no_reading_even_stamped() -> None:
    batch = sorted_out([Message("watch/shelf", payload(60.0, 1.0), 60.0, retained=True)], SHELF)
    assert batch.sensors["shelf"].readings == []
    assert batch.sensors["shelf"].last.retained


def test_what_had_waited_counts_only_with_its_own_stamp() -> None:
    arrivals = Arrivals()
    arrivals.connected(1000.0)
    came = [Message("watch/plain", b"on", 1000.1)] * 3 + messages([(at, 1.0) for at in (600.0, 660.0)], SHELF, 1000.1)
    batch = sort_out(came, Routes([PLAIN, SHELF]), arrivals)
    assert (batch.sensors["plain"].queued, batch.sensors["plain"].readings) == (3, [])
    assert (batch.sensors["shelf"].queued, len(batch.sensors["shelf"].readings)) == (0, 2)
