"""Topic filters of MQTT: which sensors a topic belongs to, and what to subscribe to."""

from collections.abc import Collection, Iterable

from sensors.sensor import Sensor

REMEMBERED = 10_000


def matches(topic_filter: str, topic: str) -> bool:
    """Whether a topic fits a filter: `+` is any one level, `#` any levels from there on, the one above included.

    A wildcard in the first place doesn't fit a topic that begins with `$` (MQTT 5, sections 4.7.1 and 4.7.2).
    """
    wanted, levels = topic_filter.split("/"), topic.split("/")
    if topic.startswith("$") and wanted[0] in ("+", "#"):
        return False
    for place, level in enumerate(wanted):
        if level == "#":
            return True
        if place == len(levels) or level not in ("+", levels[place]):
            return False
    return len(wanted) == len(levels)


def covers(wide: str, narrow: str) -> bool:
    """Whether every topic that fits `narrow` fits `wide`, too."""
    wanted, levels = wide.split("/"), narrow.split("/")
    if narrow.startswith("$") and wanted[0] in ("+", "#"):
        return False
    for place, level in enumerate(wanted):
        if level == "#":
            return True
        if place == len(levels) or levels[place] == "#" or level not in ("+", levels[place]):
            return False
    return len(wanted) == len(levels)


def to_subscribe(topic_filters: Iterable[str]) -> set[str]:
    """The filters without those that others cover: a broker may send a message once for each filter that it fits."""
    asked = set(topic_filters)
    return {each for each in asked if not any(other != each and covers(other, each) for other in asked)}


class Routes:
    """Topics to sensors; looks up each topic once."""

    def __init__(self, sensors: Collection[Sensor]) -> None:
        self._sensors = tuple(sensors)
        self._known: dict[str, tuple[Sensor, ...]] = {}

    def of(self, topic: str) -> tuple[Sensor, ...]:
        """The sensors whose filter the topic fits."""
        found = self._known.get(topic)
        if found is None:
            if len(self._known) >= REMEMBERED:
                self._known.clear()
            found = tuple(sensor for sensor in self._sensors if matches(sensor.topic, topic))
            self._known[topic] = found
        return found
