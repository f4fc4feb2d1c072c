"""How air and fuel move: numbers in, numbers out."""
