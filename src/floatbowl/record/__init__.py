"""Keeping it: the only room that knows SQLite and files."""
