"""File forms: each computation of the core answers a JSON file, without a database; numpy and the standard library only."""
