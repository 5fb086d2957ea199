"""The one door: every change a person makes is a command, whichever way it came."""
