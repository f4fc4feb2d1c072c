"""The thing on the stand: plain data, no sums."""
