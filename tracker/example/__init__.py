"""The example collection: the watches of a small estuary pilot station, with a past that was simulated."""
