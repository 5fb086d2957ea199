"""Ten years of forty watches and five sensors, through the door and the keeper, year by year: `python -m tests.soak.decade [YEARS]`.

After each year it prints the size of both files, how long each page takes and what memory the process of the pages holds.
"""

import json
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import closing
from datetime import UTC, datetime, timedelta
from itertools import islice, pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from sensors.arrivals import Arrivals
from sensors.intake import Message, sort_out
from sensors.keeper import Keeper
from sensors.listener import KEEP_DAYS
from sensors.simulated.events import Faults
from sensors.simulated.scene import Scene, scene
from sensors.topics import Routes
from tests.bench.bench_site import paths
from tests.soak.life import HABITS, START, live
from tests.soak.truth import Fate, draw
from tracker import derive
from tracker.checking import check
from tracker.collection import open_collection, owner
from tracker.commands.base import Command, Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.register import RegisterWatch
from tracker.commands.sensor import LayOnSensor
from tracker.core.timeline import Entry, Service, Sighting, Wind
from tracker.store import sensors as set_up
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app

WATCHES, SENSORS, YEARS = 40, 5, 10
EVERY_S = 300.0
BATCH = 500
YEAR = timedelta(days=365.25)
TURNS = 9
FATES: Sequence[Fate] = ("stable", "2 % a year", "stable", "drop of 15 %")
BY_HAND = [habit for habit in HABITS if habit != "rest sensor"]
FAULTS = Faults(lost=0.01, doubled=0.01, late=0.02, outages_a_week=0.1, lifted_a_week=1.0)


class Measured(NamedTuple):
    """What a process of the pages found: the time of each page (median, ms) and the most memory it held, in MB."""

    pages_ms: dict[str, float]
    memory_mb: float


def watch_uid(number: int) -> str:
    return uid_of("decade", str(number))


def _shown(entry: Wind | Sighting) -> str | None:
    if entry.shown is None:
        return None
    hour, minute = divmod(entry.shown.minutes, 60)
    return f"{hour or 12}:{minute:02}"


def command(uid: str, entry: Entry) -> Command:
    """A note of a simulated life as the command that a person would give."""
    common = {"uid": uid_of(uid, entry.uid), "watch_uid": uid, "at": entry.at, "zone": "UTC"}
    if isinstance(entry, Wind):
        return build(COMMANDS["LogWind"], common | {"found": entry.found, "hands": entry.hands, "shown": _shown(entry)})
    if isinstance(entry, Sighting):
        return build(COMMANDS["LogSighting"], common | {"seen": entry.seen, "shown": _shown(entry)})
    assert isinstance(entry, Service)
    return build(COMMANDS["LogService"], common)


def by_hand(number: int, years: float) -> list[Command]:
    """The notes of a watch that no sensor lies under."""
    throws = random.Random(f"decade {number}")
    life = live(BY_HAND[number % len(BY_HAND)], draw(FATES[number % len(FATES)], "none", throws), throws, years)
    return [command(watch_uid(number), entry) for entry in life.entries]


def by_sensor(number: int, lived: Scene) -> list[Command]:
    """The windings of a watch whose stops a sensor tells."""
    runs, uid = lived.lives[number].runs, watch_uid(WATCHES - SENSORS + number)
    found = [("stopped", "set now"), *(("stopped", "set now") if run.stopped else ("going", "left") for run in runs)]
    entries = [
        Wind(uid=f"{place:06}", at=datetime.fromtimestamp(run.wound_s, UTC), zone="UTC", found=state, hands=hands)  # type: ignore[arg-type]  # words of theirs
        for place, (run, (state, hands)) in enumerate(zip(runs, found, strict=False))
    ]
    return [command(uid, entry) for entry in entries]


def begin(store: Store, lived: Scene, who: Who) -> None:
    """Register watches and sensors."""
    add = [
        RegisterWatch(uid=watch_uid(number), nickname=f"Watch {number:02}", stated_reserve_h=42, habit="keep going")
        for number in range(WATCHES)
    ]
    sensors = [build(COMMANDS["AddSensor"], {"uid": uid_of(each.topic), **each.fields}) for each in lived.rests]
    lie = [
        LayOnSensor(sensor_uid=sensor.uid, watch_uid=watch_uid(WATCHES - SENSORS + number), at=START)
        for number, sensor in enumerate(sensors)
    ]
    submit(store, [*add, *sensors, *lie], who, then=lambda *_: None)


class Listening:
    """What the listener does with messages, without a broker."""

    def __init__(self, folder: Path, store: Store) -> None:
        self.file = open_sensed(folder)
        self.keeper, self.arrivals = Keeper(self.file), Arrivals()
        known = set_up.sensors(store.reading())
        self.routes = Routes(known)
        self.keeper.set_up(known, set_up.assignments(store.reading()))

    def hear(self, messages: Iterator[Message], until_s: float) -> int:
        """Keep what comes until then; gives how many messages there were."""
        count = 0
        while batch := list(islice(messages, BATCH)):
            self.keeper.keep(sort_out(batch, self.routes, self.arrivals))
            count += len(batch)
        self.keeper.forget(until_s - KEEP_DAYS * 86_400.0)
        return count


def measured(folder: Path, now: datetime) -> Measured:
    """Ask a process of its own, as a server would be."""
    asked = subprocess.run(
        [sys.executable, "-m", "tests.soak.decade", "--pages", str(folder), now.isoformat()],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    return Measured(**json.loads(asked.stdout))


def pages(folder: Path, now: datetime) -> dict[str, Any]:
    """Ask every page a few times."""
    with closing(open_collection(folder, now)) as store:
        app = create_app(store, now=lambda: now, then=lambda *_: None)
        browser, found = app.test_client(), {}
        asked = [path.replace(uid_of("bench", "1"), watch_uid(WATCHES - 1)) for path in paths(store)]
        for path in asked:
            times = []
            for _ in range(TURNS):
                began = time.perf_counter()
                answer = browser.get(path)
                times.append(1000 * (time.perf_counter() - began))
                assert answer.status_code == 200, (path, answer.status_code)
            found[path.replace(watch_uid(WATCHES - 1), "…")] = statistics.median(times)
        return {"pages_ms": found, "memory_mb": _memory_mb()}


def _memory_mb() -> float:
    """The most that this process held; what `resource` tells goes back to before it was itself."""
    (line,) = [line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM:")]
    return int(line.split()[1]) / 1024


def tell(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    """Live the years; fails if anything is amiss at the end."""
    years = int(sys.argv[1]) if len(sys.argv) > 1 else YEARS
    begin_s, end_s = START.timestamp(), (START + years * YEAR).timestamp()
    lived = scene("decade", begin_s, end_s, watches=SENSORS, faults=FAULTS, expected_s=EVERY_S, lost_a_year=0.02)
    logs = [by_hand(number, years) for number in range(WATCHES - SENSORS)]
    logs += [by_sensor(number, lived) for number in range(SENSORS)]
    sent = (Message(each.topic, each.payload, each.due_s, each.retained) for each in lived.events())
    ahead: list[Message] = []
    with TemporaryDirectory() as place, closing(open_collection(folder := Path(place), START)) as store:
        begin(store, lived, owner(store, "page", START))
        listening = Listening(folder, store)
        entries = messages = 0
        for since, until in pairwise(START + year * YEAR for year in range(years + 1)):
            began = time.monotonic()
            messages += listening.hear(_until(sent, until.timestamp(), ahead), until.timestamp())
            heard_s, began = time.monotonic() - began, time.monotonic()
            entries += enter(store, logs, since, until)
            entered_s, began = time.monotonic() - began, time.monotonic()
            derive.catch_up(store, until)
            tell(
                f"year {round((until - START) / YEAR):2}: {entries:,} entries ({entered_s:.0f} s), {messages:,} messages "
                f"({heard_s:.0f} s), worked out in {time.monotonic() - began:.0f} s"
            )
            tell(_of_files(folder))
            tell(_of_pages(measured(folder, until)))
        listening.file.close()
        amiss = [*check(folder, START + years * YEAR)]
        tell("\n".join(map(str, amiss)) or "nothing amiss")
    sys.exit(bool(amiss))


def enter(store: Store, logs: Sequence[Sequence[Command]], since: datetime, until: datetime) -> int:
    """Give a year's commands of each watch as one batch."""
    count, who = 0, owner(store, "page", until)
    for log in logs:
        batch = [each for each in log if since <= each.at < until]  # type: ignore[attr-defined]  # all of them are entries
        if batch:
            submit(store, batch, who, then=lambda *_: None)
        count += len(batch)
    return count


def _until(sent: Iterator[Message], until_s: float, ahead: list[Message]) -> Iterator[Message]:
    """Those sent before a moment; the first one after it waits in `ahead`."""
    while True:
        message = ahead.pop() if ahead else next(sent, None)
        if message is None:
            return
        if message.arrived_s >= until_s:
            ahead.append(message)
            return
        yield message


def _of_files(folder: Path) -> str:
    sizes = {name: (folder / name).stat().st_size / 1e6 for name in ("going.db", "sensors.db")}
    return "  " + ", ".join(f"{name} {size:.1f} MB" for name, size in sizes.items())


def _of_pages(found: Measured) -> str:
    slowest = sorted(found.pages_ms.items(), key=lambda each: -each[1])[:5]
    told = ", ".join(f"{path} {took:.0f}" for path, took in slowest)
    return (
        f"  median page {statistics.median(found.pages_ms.values()):.1f} ms, slowest {told}; {found.memory_mb:.0f} MB"
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["--pages"]:
        sys.stdout.write(json.dumps(pages(Path(sys.argv[2]), datetime.fromisoformat(sys.argv[3]))))
    else:
        main()
