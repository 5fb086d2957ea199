"""`going`: the command line. What a command needs is imported when it runs."""

import os
import sys
from collections.abc import Sequence

from tracker.cli.parser import make_parser, run
from tracker.cli.usage import at_option
from tracker.errors import BadInput, GoingError, Rejected
from tracker.languages import begin_to_speak
from tracker.words import say

STOPPED_BY_KEY = 130


def main(argv: Sequence[str] | None = None) -> int:
    """Do what the words after `going` say.

    Returns:
        The exit code: 0, or that of what went wrong; its sentences are on stderr.
    """
    begin_to_speak()
    try:
        return run(make_parser().parse_args(argv))
    except Rejected as rejected:
        for problem in rejected.problems:
            _complain(problem)
        return rejected.exit_code
    except GoingError as error:
        _complain(error)
        return error.exit_code
    except BrokenPipeError:
        # Whoever read our output has read enough; Python would complain of it once more while it leaves.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return STOPPED_BY_KEY


def _complain(error: GoingError) -> None:
    sentence = at_option(error) if isinstance(error, BadInput) else error.sentence
    sys.stderr.write(say("going: {sentence}", sentence=sentence) + "\n")
