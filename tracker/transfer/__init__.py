"""A whole collection as plain CSV or JSON that other programs can read, and back from it."""
