"""The broker that a call is about."""

from argparse import Namespace

from sensors.brokersettings import BrokerSettings
from sensors.brokerusers import users_of
from tracker.brokerconfig import broker_settings
from tracker.config import data_folder
from tracker.errors import BadInput
from tracker.words import say


def broker_meant(args: Namespace, user: str) -> BrokerSettings:
    """Our own broker, which knows `user`, where `--broker` names its port; else the one that is named for the collection.

    Raises:
        BadInput: none is named.
    """
    folder = data_folder(args.data)
    if args.broker is not None:
        return BrokerSettings(port=args.broker, user=user, password=users_of(folder)[user])
    settings = broker_settings(folder)
    if settings is None:
        raise BadInput(
            say("No broker is named."),
            accepted=say('Write [mqtt] and host = "…" into going.toml in {folder}, or give --broker.', folder=folder),
        )
    return settings
