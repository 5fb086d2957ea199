from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from paho.mqtt.client import topic_matches_sub

from sensors.kinds import Boolean
from sensors.payload import Form
from sensors.sensor import Sensor
from sensors.topics import Routes, covers, matches, to_subscribe

FILTERS = st.lists(st.sampled_from(["a", "b", "", "+", "$x"]), min_size=1, max_size=4).map("/".join)
WITH_HASH = st.tuples(FILTERS, st.booleans()).map(lambda pair: f"{pair[0]}/#" if pair[1] else pair[0]) | st.just("#")
TOPICS = st.lists(st.sampled_from(["a", "b", "", "$x"]), min_size=1, max_size=4).map("/".join).filter(bool)


def sensor(uid: str, topic: str) -> Sensor:
    return Sensor(
        uid=uid,
        name=uid,
        kind="rest",
        topic=topic,
        form=Form("plain", "boolean"),
        reports=Boolean(),
        expected_s=60,
    )


@pytest.mark.parametrize(
    ("topic_filter", "fits", "fits_not"),
    [
        ("sport/tennis/#", ["sport/tennis", "sport/tennis/a", "sport/tennis/a/b"], ["sport", "sport/tenni"]),
        ("sport/+", ["sport/", "sport/a"], ["sport", "sport/a/b"]),
        ("+/+", ["/finance"], ["finance"]),
        ("/+", ["/finance"], ["finance"]),
        ("#", ["a", "/", "a/b"], ["$SYS/uptime"]),
        ("+/monitor/Clients", ["a/monitor/Clients"], ["$SYS/monitor/Clients"]),
        ("$SYS/#", ["$SYS/uptime", "$SYS"], ["SYS"]),
    ],
)
def test_the_examples_of_mqtt_5_section_4_7(topic_filter: str, fits: list[str], fits_not: list[str]) -> None:
    assert all(matches(topic_filter, topic) for topic in fits)
    assert not any(matches(topic_filter, topic) for topic in fits_not)


@given(WITH_HASH, TOPICS)
def test_filters_fit_what_paho_says_they_fit(topic_filter: str, topic: str) -> None:
    assert matches(topic_filter, topic) == topic_matches_sub(topic_filter, topic)


@given(WITH_HASH, WITH_HASH, TOPICS)
def test_a_filter_that_covers_another_fits_all_that_the_other_fits(wide: str, narrow: str, topic: str) -> None:
    if covers(wide, narrow) and matches(narrow, topic):
        assert matches(wide, topic)


def test_what_another_filter_covers_is_not_subscribed_to_again() -> None:
    assert to_subscribe(["a/+", "a/b", "a/b", "c/#", "c", "c/+/d"]) == {"a/+", "c/#"}
    assert to_subscribe([]) == set()


def test_a_topic_belongs_to_every_sensor_whose_filter_it_fits() -> None:
    one, two = sensor("one", "shelf/+/tick"), sensor("two", "shelf/1/#")
    routes = Routes([one, two])
    for _ in range(2):
        assert routes.of("shelf/1/tick") == (one, two)
        assert routes.of("shelf/2/tick") == (one,)
        assert routes.of("shelf/2") == ()


def test_topics_without_end_fill_no_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sensors.topics.REMEMBERED", 10)
    routes = Routes([sensor("one", "#")])
    for number in range(25):
        assert len(routes.of(str(Path("a") / str(number)))) == 1
    assert len(routes._known) <= 10
