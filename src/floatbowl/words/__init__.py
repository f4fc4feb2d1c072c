"""The only place that turns nouns into a person's words, and a person's words into nouns."""
