"""`python -m tracker` is `going`."""

import sys

from tracker.cli import main

sys.exit(main())
