"""What is probably true after those signs."""
