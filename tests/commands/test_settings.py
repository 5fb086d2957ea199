"""The owner's preferences."""

from collections.abc import Callable

import pytest

from tracker.collection import preferences
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.errors import Conflict
from tracker.store.store import Store

Give = Callable[..., str]


def test_what_was_set_is_read_back(store: Store, give: Give) -> None:
    give("ChangeSettings", zone="Asia/Kolkata", notice_h="4,5")
    values = preferences(store).values
    assert (values.zone, values.notice_h) == ("Asia/Kolkata", 4.5)
    assert preferences(store).zone.key == "Asia/Kolkata"


def test_a_stale_change_of_settings_is_a_conflict_and_changes_nothing(store: Store, give: Give) -> None:
    version = preferences(store).version
    give("ChangeSettings", version=version, zone="Asia/Kolkata")
    with pytest.raises(Conflict) as caught:
        give("ChangeSettings", version=version, zone="Asia/Tokyo")
    assert caught.value.sentence == (
        "The settings were changed since you opened them; nothing was saved. Look again, then repeat."
    )
    assert preferences(store).values.zone == "Asia/Kolkata"


def test_a_change_that_saw_what_was_undone_is_stale(store: Store, who: Who, give: Give) -> None:
    give("ChangeSettings", zone="Asia/Kolkata")
    saw = preferences(store).version
    submit(store, [Undo()], who)
    with pytest.raises(Conflict):
        give("ChangeSettings", version=saw, zone="Asia/Tokyo")


def test_only_what_differs_counts_as_changed(store: Store, give: Give) -> None:
    give("ChangeSettings", zone="Asia/Kolkata")
    version = preferences(store).version
    give("ChangeSettings", zone="Asia/Kolkata")
    assert preferences(store).version == version


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("19:00, 7.30", ("07:30", "19:00")),
        ("0730 7h30;22:15", ("07:30", "22:15")),
        ("  ", ()),
        (["06:45"], ("06:45",)),
    ],
)
def test_rounds_are_kept_in_order_however_they_are_typed(
    typed: object, kept: tuple[str, ...], store: Store, give: Give
) -> None:
    give("ChangeSettings", rounds_on_weekdays=typed)
    assert preferences(store).values.rounds_on_weekdays == kept
