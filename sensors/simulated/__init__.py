"""Sensors that behave like real ones, faults included, and the truth of what they tell: all by seed."""
