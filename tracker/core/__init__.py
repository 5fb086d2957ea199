"""The calculator: values in, values out; no clock, no database, no network."""
