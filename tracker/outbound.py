"""The state of each watch for any home automation: what is sent to the broker to be retained, by topic."""

import json
import logging
import threading
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from tracker.collection import owner_code, preferences
from tracker.figures import Figures, survey
from tracker.store import register
from tracker.store.cues import open_cues
from tracker.store.moments import to_text
from tracker.store.store import Store

EVERY_S = 30.0
GONE = b""
"""An empty message takes a retained one away (MQTT 5.0, 3.3.1.3)."""

_log = logging.getLogger(__name__)

Send = Callable[[dict[str, bytes]], bool]


def state(each: Figures, cue: str | None) -> dict[str, Any]:
    """One watch as it stands: its nickname and nothing of where it is, what it is worth or who is away."""
    left, by = each.standing.left_h, None if each.test is not None else each.standing.wind_by
    return {
        "watch": each.watch.nickname,
        "state": each.standing.word,
        "look": each.standing.look,
        "hours_left": None
        if left is None
        else {name: round(getattr(left, name), 1) for name in ("low", "mid", "high")},
        "wind_by": None if by is None else to_text(by.replace(microsecond=0)),
        "cue": cue,
    }


def topic(prefix: str, collection: str, watch_uid: str) -> str:
    """Where the state of a watch is retained."""
    return f"{prefix}/{collection}/{watch_uid}/state"


def states(store: Store, now: datetime, prefix: str) -> dict[str, bytes]:
    """What should be retained now: the states of the owner's own watches in use; those put away, or all if it is switched off, gone."""
    db = store.reading()
    code = owner_code(db)
    every = {topic(prefix, code, watch.uid): GONE for watch in register.every_watch(db)}
    if not preferences(store).values.publish_states:
        return every
    known = survey(store, now, with_runs=False).own.known
    cues = open_cues(db, [each.watch.uid for each in known])
    for each in known:
        held = cues.get(each.watch.uid)
        told = state(each, held.cue.step if held else None)
        every[topic(prefix, code, each.watch.uid)] = json.dumps(told, ensure_ascii=False).encode()
    return every


class Outbound:
    """Sends what changed, now and then, from `start` to `stop`; a broker that is away is tried again."""

    def __init__(self, store: Store, prefix: str, send: Send, now: Callable[[], datetime]) -> None:
        self._store, self._prefix, self._send, self._now = store, prefix, send, now
        self._sent: dict[str, bytes] = {}
        self._leaving = threading.Event()
        self._thread = threading.Thread(target=self._run, name="outbound", daemon=True)

    def start(self) -> None:
        """Begin, in a thread of its own."""
        self._thread.start()

    def stop(self) -> None:
        """End; what is retained stays."""
        self._leaving.set()
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        while not self._leaving.is_set():
            try:
                self.send_changed()
            except Exception:  # noqa: BLE001 -- the next time may fare better
                _log.exception("The states of watches could not be sent.")
            self._leaving.wait(EVERY_S)

    def send_changed(self) -> None:
        """Send whatever reads otherwise than when it was last sent."""
        changed = _changed(states(self._store, self._now(), self._prefix), self._sent)
        if changed and self._send(changed):
            self._sent |= changed


def _changed(wanted: Mapping[str, bytes], sent: Mapping[str, bytes]) -> dict[str, bytes]:
    """Of topics never sent by this process what is gone is sent too, for an earlier one may have left it; unless all is gone."""
    if not any(wanted.values()) and not any(sent.values()):
        return {}
    return {name: payload for name, payload in wanted.items() if sent.get(name) != payload}
