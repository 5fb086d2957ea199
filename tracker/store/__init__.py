"""Everything that is kept: all SQL lives here."""
