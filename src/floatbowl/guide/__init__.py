"""What to do with your hands: pages of text, no logic."""
