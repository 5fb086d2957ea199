"""How backups stand, in words."""

from datetime import datetime

from tracker import phrases
from tracker.backup.daily import Standing
from tracker.collection import Preferences
from tracker.words import say


def told(standing: Standing, now: datetime, held: Preferences) -> str:
    """The last backup and its age; what went wrong since."""
    if standing.newest is None:
        said = say("There is no backup in {folder} yet.", folder=standing.folder)
    else:
        when = phrases.when_and_distance(standing.newest, now, held.zone)
        said = say("Last backup: {when}, in {folder}.", when=when, folder=standing.folder)
    if standing.failed:
        return f"{said} {standing.failed}"
    return said if held.values.backup_daily else say("{said} None is made by itself.", said=said)
