"""What was heard of sensors: sensors.db, written by the listener alone."""
