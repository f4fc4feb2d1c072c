"""How well the ear hears: made-up recordings with known speed, and a comparison on the same sounds."""
