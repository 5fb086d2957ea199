"""File forms: a document in, an answer out, no collection."""

import json
import sys
from argparse import Namespace

from tracker.fileform.reserve import answer_file


def reserve(args: Namespace) -> None:
    """Answer the form of run-downs and reserve."""
    sys.stdout.write(json.dumps(answer_file(args.file), ensure_ascii=False, indent=2, allow_nan=False) + "\n")
