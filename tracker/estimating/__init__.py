"""Estimates worked out beside the pages: a process of its own, the one who keeps it at work, and a page's short wait."""
