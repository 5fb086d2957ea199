"""Looking whether a collection is whole, and whether what it needs is there."""

import json
from argparse import Namespace
from dataclasses import asdict

from tracker import clock
from tracker.checking import check as look_through
from tracker.cli.opened import tell
from tracker.config import data_folder
from tracker.doctor import examine
from tracker.words import say


def check(args: Namespace) -> int:
    """Tell what is found; 1 if anything of it is a fault."""
    found = look_through(data_folder(args.data), clock.now())
    faulty = any(each.fault for each in found)
    if args.json:
        tell(
            json.dumps(
                {"sound": not faulty, "findings": [asdict(each) for each in found]}, ensure_ascii=False, indent=1
            )
        )
        return int(faulty)
    for each in found:
        tell(each.sentence)
    if not faulty:
        tell(say("Nothing wrong was found."))
    return int(faulty)


def doctor(args: Namespace) -> int:
    """Tell how everything is and what to do; 1 if anything wants doing."""
    looks = examine(data_folder(args.data), clock.now(), args.port)
    wanting = any(each.to_do for each in looks)
    if args.json:
        tell(json.dumps({"well": not wanting, "looks": [asdict(each) for each in looks]}, ensure_ascii=False, indent=1))
        return int(wanting)
    for each in looks:
        tell(f"{each.name}: {each.sentence} {each.to_do}".rstrip())
    return int(wanting)
