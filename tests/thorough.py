"""Whether all is tried, as `make soak` does with GOING_EXAMPLES, or a sample of it, as `make test` does."""

import os

THOROUGH = "GOING_EXAMPLES" in os.environ
