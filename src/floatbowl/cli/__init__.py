"""The first door: the command line."""
