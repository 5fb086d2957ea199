"""Small collections and watches for tests of the Round page."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from flask.testing import FlaskClient

from tracker.collection import owner
from tracker.commands.base import Command
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.core.curve import Curve
from tracker.core.decline import Signs
from tracker.core.fallen import Fallen
from tracker.core.presentrun import kept_wound, present_run
from tracker.core.reserve import Band, Estimate, prior_for
from tracker.core.rundown import History, run_downs
from tracker.core.segment import present_segment
from tracker.core.standing import standing
from tracker.core.timeline import Entry, Found, Hands, Sighting, Wind
from tracker.core.watch import Watch
from tracker.core.windby import Risk
from tracker.figures import Figures
from tracker.store.estimates import Key
from tracker.store.store import Store
from tracker.web.app import create_app

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
HOUR = timedelta(hours=1)
BERLIN = ZoneInfo("Europe/Berlin")
LONDON = ZoneInfo("Europe/London")
"""Where clocks show UTC at NOW, as the notes of these tests do."""


def curve(median_h: float = 40.0, scatter: float = 0.05) -> Curve:
    """A log-normal run of this median, without a table of anyone's."""
    from_h, to_h = (median_h * math.exp(side * 5.6 * scatter) for side in (-1, 1))
    logs = np.log(np.geomspace(from_h, to_h, 400) / median_h)
    return Curve(from_h, to_h, tuple(0.5 * math.erfc(each / scatter / math.sqrt(2)) for each in logs))


def known(median_h: float = 40.0) -> Estimate:
    """An estimate from no runs whose next run is `curve`."""
    band = Band(median_h * 0.9, median_h, median_h * 1.1)
    return Estimate(
        reserve_h=band,
        baseline_h=band,
        per_year=Band(0.0, 0.0, 0.0),
        fall_probability=0.0,
        sudden_probability=0.0,
        evidence={},
        left_out=0,
        gained_bits=0.0,
        next_run=curve(median_h),
        prior=prior_for(median_h),
        fallen=Fallen(lost=Band(-0.1, 0.0, 0.1), twice_probability=0.0),
    )


def wound(hours_ago: float, found: Found = "going", hands: Hands = "unknown") -> Wind:
    """A full wind."""
    return Wind(uid=f"w{hours_ago}", at=NOW - hours_ago * HOUR, zone="UTC", found=found, hands=hands)


def seen(hours_ago: float) -> Sighting:
    """A look at a going watch."""
    return Sighting(uid=f"s{hours_ago}", at=NOW - hours_ago * HOUR, zone="UTC", seen="going")


def figures(nickname: str, *entries: Entry, median_h: float = 40.0, kept: bool = True) -> Figures:
    """One watch as it stands at NOW, its next run lasting about `median_h`."""
    watch = Watch(uid=nickname, nickname=nickname, habit="keep going" if kept else "when worn")
    return of_watch(watch, *entries, median_h=median_h)


def of_watch(watch: Watch, *entries: Entry, median_h: float = 40.0) -> Figures:
    """The same for a watch of the register."""
    history: History = run_downs(watch, entries)
    found = known(median_h)
    present = present_run(watch, history, found.next_run, NOW)
    return Figures(
        watch=watch,
        history=history,
        held=None,
        segment=present_segment(history, NOW),
        estimate=found,
        signs=Signs(),
        risk=Risk(0.05, at_floor=False, at_ceiling=False),
        standing=standing(
            replace(history, current=present.run), present.curve, 0.05, NOW, kept_wound=kept_wound(history, present)
        ),
        present=present,
        key=Key(0, "", "", 0.1),
    )


def client(store: Store) -> FlaskClient:
    """A browser of sorts, at NOW."""
    app = create_app(store, now=lambda: NOW)
    app.config["WTF_CSRF_ENABLED"] = False
    return app.test_client()


def give(store: Store, *commands: Command) -> None:
    """Apply commands as the owner."""
    submit(store, commands, owner(store, "page", NOW))


def register(store: Store, nickname: str, *hours_ago: float, kept: bool = True, dated: bool = False) -> str:
    """Register a watch, wound in full so many hours ago; returns its uid."""
    watch = RegisterWatch(
        nickname=nickname, stated_reserve_h=40, habit="keep going" if kept else "when worn", date_window=dated
    )
    winds = [
        LogWind(watch_uid=watch.uid, at=NOW - hours * HOUR, zone="UTC", found="going", hands="left")
        for hours in hours_ago
    ]
    give(store, watch, *winds)
    return watch.uid
