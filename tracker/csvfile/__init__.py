"""Watches and the log as CSV files, out and in."""
