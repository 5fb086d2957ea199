"""What runs on the whole collection: working it out anew, and serving it."""

from argparse import Namespace

from tracker import derive
from tracker.cli.opened import opened, tell
from tracker.cli.progress import on_terminal
from tracker.config import data_folder, example_folder
from tracker.words import say


def recompute(args: Namespace) -> None:
    """Throw away what is derived and rebuild it from the log."""
    with opened(args) as collection:
        count = derive.recompute(collection.store, collection.now, on_terminal())
    tell(say("Watches worked out anew: {n}.", n=count))


def serve(args: Namespace) -> None:
    """Serve the owner's collection."""
    from tracker.cli.people import ask_first_password  # noqa: PLC0415 -- recompute needs no server
    from tracker.reach import reach_of  # noqa: PLC0415 -- as above
    from tracker.serve import serve as run  # noqa: PLC0415 -- as above

    folder = data_folder(args.data)
    reach = reach_of(folder, args.host, home=args.home)
    if reach.logs_in:
        ask_first_password(args)
    run(folder, reach, port=args.port, own_broker_port=args.broker)


def listen(args: Namespace) -> None:
    """Listen to the sensors of the owner's collection, without pages."""
    from tracker.listening import listen as run  # noqa: PLC0415 -- as above

    run(data_folder(args.data), args.broker)


def demo(args: Namespace) -> None:
    """Serve the example collection."""
    from tracker.serve import serve_example  # noqa: PLC0415 -- as above

    serve_example(example_folder(args.data), host=args.host, port=args.port, reset=args.reset)
