"""Eighteen watches kept for a week by one person, every tap counted in the browser, what is true of each known to the test."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import PHONE, served
from tests.web.rounds import HOUR, NOW, give
from tracker.commands.log import LogWind, LogWinder
from tracker.commands.register import RegisterWatch
from tracker.core.watch import Habit, WoundBy
from tracker.store import log
from tracker.store.store import Store
from tracker.uids import uid_of

MOST_TAPS = 25
DAYS = 7
SCATTER = 0.02
LASTING = {
    "hand-wound, daily": (38, 40, 42, 44, 46, 48, 50, 55),
    "of longer breath": (68, 72, 120, 192),
    "on the winder": (40, 42, 50),
    "let stop": (40, 44, 65),
}
"""Stated hours; what is true lies within 5 % of them."""
WORN = {1: "let stop 0", 4: "let stop 1"}
"""On which day which watch is woken and worn."""
OPENED = """addEventListener("pointerdown", (event) => { if (event.isTrusted) tapped(); }, true);"""


@dataclass
class Life:
    """A watch as it truly is."""

    uid: str
    median_h: float
    to_go: bool
    on_winder: bool
    ends_at: datetime = NOW
    winds: int = 0

    def wind(self, at: datetime, throws: random.Random) -> None:
        """A full wind, from which it goes as long as it does."""
        self.winds += 1
        self.ends_at = at + self.median_h * throws.lognormvariate(0, SCATTER) * HOUR

    def goes(self, at: datetime) -> bool:
        """Whether it does, by then."""
        return self.on_winder or at < self.ends_at


class Week:
    """The collection, its truth and the clock."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.now = NOW
        self.throws = random.Random("a week")
        self.lives: dict[str, Life] = {}
        self.taps = 0
        for kind, hours in LASTING.items():
            for number, stated_h in enumerate(hours):
                self._begin(kind, f"{kind} {number}", stated_h)

    def _begin(self, kind: str, nickname: str, stated_h: float) -> None:
        """Register it with two weeks of its past: begun from a standstill, then wound in time."""
        uid, rotor = uid_of(nickname), kind == "on the winder"
        life = Life(uid, stated_h * self.throws.uniform(0.95, 1.05), kind != "let stop", rotor)
        habit: Habit = "keep going" if life.to_go else "when worn"
        wound_by: WoundBy = "crown and rotor" if rotor else "crown"
        watch = RegisterWatch(uid=uid, nickname=nickname, stated_reserve_h=stated_h, habit=habit, wound_by=wound_by)
        every = timedelta(days=max(1, int(stated_h * 0.75 / 24)))
        winds, at = list[LogWind](), NOW - timedelta(days=14)
        while at < NOW and (life.to_go or not winds):
            winds.append(
                LogWind(watch_uid=uid, at=at, zone="UTC", found="going" if winds else "stopped", hands="set now")
            )
            life.wind(at, self.throws)
            at += every
        on = [LogWinder(watch_uid=uid, at=NOW - timedelta(days=3), zone="UTC", act="on")] if rotor else []
        give(self.store, watch, *winds, *on)
        self.lives[uid] = life


@pytest.fixture
def week(store: Store) -> Week:
    return Week(store)


@pytest.fixture
def phone(chromium: Browser, week: Week) -> Iterator[Page]:
    with served(week.store, now=lambda: week.now) as address:
        context = chromium.new_context(base_url=address, viewport=PHONE)  # type: ignore[arg-type]  # a size
        context.set_default_timeout(20_000)
        page = context.new_page()

        def count() -> None:
            week.taps += 1

        page.expose_function("tapped", count)
        page.add_init_script(OPENED)
        yield page
        context.close()


def tap(page: Page, week: Week, button: Locator, *uids: str) -> None:
    """Wind these and say so."""
    for uid in uids:
        week.lives[uid].wind(week.now, week.throws)
    button.click()
    expect(page.get_by_role("status")).to_contain_text("Noted:")


def go_round(page: Page, week: Week) -> list[str]:
    """One morning: what the page names is wound, all together where one button does it; gives who had stopped."""
    page.goto("/")
    week.taps += 1  # the icon of the page
    stopped = list[str]()
    while uids := [each.get_attribute("data-watch") or "" for each in page.locator("[data-watch]").all()]:
        standing = [uid for uid in uids if not week.lives[uid].goes(week.now)]
        stopped += standing
        all_of_them = page.locator(".sitting > button")
        if all_of_them.count() and not standing:
            ticked = page.locator("input[name=in]:checked")
            tap(page, week, all_of_them, *[each.input_value() for each in ticked.all()])
        else:
            label = "Wound – it had stopped" if uids[0] in standing else "Wound – it was going"
            tap(page, week, page.locator("[data-watch]").first.get_by_role("button", name=label), uids[0])
    return stopped


def wake(page: Page, week: Week, nickname: str) -> None:
    """Take a watch from its rest: it is in no round."""
    page.get_by_role("link", name="Collection", exact=True).click()
    page.get_by_role("link", name=nickname, exact=True).click()
    tap(page, week, page.get_by_role("button", name="Wound – it had stopped"), uid_of(nickname))


def test_eighteen_watches_go_through_a_week_by_twenty_five_taps_at_most(phone: Page, week: Week) -> None:
    assert len(week.lives) == 18
    found_stopped = list[str]()
    for day in range(DAYS):
        week.now = NOW + timedelta(days=day, minutes=week.throws.randint(-15, 25))
        found_stopped += go_round(phone, week)
        if day in WORN:
            wake(phone, week, WORN[day])
    until = NOW + timedelta(days=DAYS)
    assert found_stopped == []
    assert [life.uid for life in week.lives.values() if life.to_go and not life.goes(until)] == []
    noted = {uid: len(log.entry_rows(week.store.reading(), uid)) - life.on_winder for uid, life in week.lives.items()}
    assert noted == {uid: life.winds for uid, life in week.lives.items()}
    assert 2 * DAYS < week.taps <= MOST_TAPS
