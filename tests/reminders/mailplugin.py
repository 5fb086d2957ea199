"""Apprise's plugin for mail, loaded so that no test meets its warning."""

import warnings

with warnings.catch_warnings():
    # Its key handling looks for a module of the standard library that goes with Python 3.13.
    warnings.simplefilter("ignore", DeprecationWarning)
    import apprise.plugins.email  # noqa: F401 -- see above
