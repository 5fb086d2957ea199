"""A name as typed after `going sensor`, as a sensor."""

from collections.abc import Sequence

from sensors.sensor import Sensor
from tracker.cli.opened import Opened
from tracker.errors import BadInput, GoingError, NotFound
from tracker.store import sensors as shelf
from tracker.words import say


def sensor_meant(collection: Opened, name: str, *, archived: bool = False) -> Sensor:
    """The sensor in use that this name means, or an unambiguous beginning of one; with `archived` one put away.

    Raises:
        NotFound: it means none.
        BadInput: it means several.
    """
    db = collection.store.reading()
    fitting = _fitting(shelf.sensors(db, archived=archived), name)
    if not fitting:
        raise _unknown(name, _fitting(shelf.sensors(db, archived=not archived), name), archived=archived)
    if len(fitting) > 1:
        names = ", ".join(each.name for each in fitting)
        raise BadInput(
            say("“{name}” may mean {names}.", name=name, names=names), accepted=say("Write more of the name.")
        )
    return fitting[0]


def _fitting(sensors: Sequence[Sensor], name: str) -> list[Sensor]:
    typed = name.casefold()
    same = [each for each in sensors if each.name.casefold() == typed]
    return same or [each for each in sensors if each.name.casefold().startswith(typed)]


def _unknown(name: str, others: Sequence[Sensor], *, archived: bool) -> GoingError:
    if len(others) == 1 and archived:
        return NotFound(say("{name} is in use already.", name=others[0].name))
    if len(others) == 1:
        return NotFound(say('{name} is put away. Bring it back: going sensor bring-back "{name}"', name=others[0].name))
    return NotFound(say("No sensor's name begins with “{name}”. going sensor list tells which there are.", name=name))
