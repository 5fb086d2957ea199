"""Backups: one archive with all of a collection, made while it is in use, and the way back."""
