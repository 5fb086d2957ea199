"""That memory does not grow with the messages that came: a small sample of `python -m tests.soak.memory`."""

import gc
import tracemalloc
from contextlib import closing
from pathlib import Path

from sensors.arrivals import Arrivals
from sensors.intake import Message, sort_out
from sensors.keeper import Keeper
from sensors.topics import Routes
from tests.sensors.sensing import payload, rest_sensor
from tracker.store.sensed.migrations import open_sensed

SENSORS = [rest_sensor(f"s{number}", expected_s=600.0) for number in range(10)]
BATCH = 500
DAYS = 144 * len(SENSORS)
"""Messages of a day."""


def message(number: int) -> Message:
    """The sensors in turn, each every ten minutes; stops every now and then, and one in fifty can't be read."""
    place, sensor = divmod(number, len(SENSORS))
    at_s = 600.0 * place
    said = b"?" if number % 53 == 0 else payload(at_s, float((place + 37 * sensor) % 90 < 60))
    return Message(SENSORS[sensor].topic, said, at_s)


def held() -> int:
    """Bytes in hand, rubbish not counted."""
    gc.collect()
    return tracemalloc.get_traced_memory()[0]


def test_memory_is_that_of_a_day_however_many_days_came(tmp_path: Path) -> None:
    with closing(open_sensed(tmp_path)) as store:
        keeper, routes, arrivals = Keeper(store), Routes(SENSORS), Arrivals()
        keeper.set_up(SENSORS, ())

        def keep(first: int, count: int) -> None:
            for start in range(first, first + count, BATCH):
                keeper.keep(sort_out((message(each) for each in range(start, start + BATCH)), routes, arrivals))

        tracemalloc.start()
        try:
            keep(0, 10_000)
            after_a_week = held()
            keep(10_000, 20_000)
            after_three, (_, most) = held(), tracemalloc.get_traced_memory()
        finally:
            tracemalloc.stop()
    # Two bytes a message, where the least object has sixteen; and while a batch is sorted out no more than it and the days in hand.
    assert after_three - after_a_week < 30_000
    assert most < 1_000_000
    assert DAYS * 7 > 10_000 > DAYS * 6
