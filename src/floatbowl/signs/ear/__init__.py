"""Engine speed from a sound recording."""
