"""Reminders: planned from what is known of each watch, kept in an outbox, carried out by channels, rung by a bell."""
