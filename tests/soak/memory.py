"""A million messages through broker and listener, and the memory that it holds: `python -m tests.soak.memory [MESSAGES]`."""

import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.bench_listener import collection
from tests.brokers import Sent, mosquitto, publish
from tests.sensors.replay import Child, set_dial
from tests.sensors.sensing import payload
from tests.soak.listener import END_S
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import open_sensed

SENSORS, EXPECTED_S = 50, 60.0
MESSAGES, LOOK_EVERY = 1_000_000, 20_000
WARM = 200_000
"""Messages of some three days: until then the day that is kept in memory, for what comes late, still fills."""
MOST_MB = 4.0
"""Four bytes a message may it grow from then on: less than any object takes."""


def batch(first: int, count: int) -> list[Sent]:
    """Messages of all sensors in turn, a reading a minute each; stops every now and then, and one in fifty can't be read."""
    found = []
    for number in range(first, first + count):
        minute, sensor = divmod(number, SENSORS)
        going = float((minute + 37 * sensor) % 300 < 200)
        said = b"?" if number % 53 == 0 else payload(END_S + EXPECTED_S * minute, going)
        found.append((f"t/{sensor}", said))
    return found


def memories(folder: Path, messages: int) -> Iterator[tuple[int, float]]:
    """Send so many; yields how many have been kept, and the memory of the listener then, in MB."""
    collection(folder, SENSORS)
    dial = set_dial(folder / "dial", END_S)
    with mosquitto(folder / "broker", "max_queued_messages 0") as broker, closing(open_sensed(folder)) as file:
        child = Child(folder, broker.settings("5"), dial)
        child.await_listening()
        for first in range(0, messages, LOOK_EVERY):
            set_dial(dial, END_S + EXPECTED_S * (first + LOOK_EVERY) / SENSORS)
            publish(broker.port, batch(first, LOOK_EVERY))
            while (reading.health(file.reading()) or _NOTHING).messages < first + LOOK_EVERY:
                time.sleep(0.05)
            yield first + LOOK_EVERY, child.memory_mb()
        child.stop()
        heard = reading.heard(file.reading()).values()
        told = sum(each.readings + each.rejected for each in heard)
        assert told == messages, f"{told} of {messages} were kept or rejected"


_NOTHING = reading.Condition("", 0.0, "", "", None, 0)


def main() -> None:
    """Print the memory every hundred thousand messages; fails if it grows by more than four bytes a message."""
    messages = int(sys.argv[1]) if len(sys.argv) > 1 else MESSAGES
    began_s, warm, last = time.monotonic(), 0.0, 0.0
    with TemporaryDirectory() as folder:
        for count, last in memories(Path(folder), messages):
            warm = last if count <= min(WARM, messages // 2) else warm
            if count % 100_000 == 0 or count == messages:
                sys.stdout.write(f"{count:9,} messages: {last:6.1f} MB, {time.monotonic() - began_s:.0f} s\n")
                sys.stdout.flush()
    sys.stdout.write(f"grown by {last - warm:.1f} MB since it was warm\n")
    sys.exit(last - warm > MOST_MB)


if __name__ == "__main__":
    main()
