"""A collection with a photograph in it."""

import pytest

from tests.dials import png
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogSighting
from tracker.commands.photograph import AttachPhotograph
from tracker.commands.register import RegisterWatch
from tracker.photofile import keep, photograph
from tracker.store.store import Store

PNG = png()


@pytest.fixture
def pictured(store: Store, who: Who) -> str:
    """The hash of a photograph that is kept and named."""
    watch = RegisterWatch(nickname="Night ferry", stated_reserve_h=42)
    sighting = LogSighting(watch_uid=watch.uid, at=who.now, zone="UTC", seen="stopped")
    found = photograph(PNG)
    keep(store.path.parent, found)
    attached = AttachPhotograph(
        entry_uid=sighting.uid, sha256=found.sha256, media_type="image/png", size_bytes=len(found.data)
    )
    submit(store, [watch, sighting, attached], who)
    return found.sha256
