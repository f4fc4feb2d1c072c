"""A closed-loop rehearsal: invented bikes of another physics, lying riders, and three mechanics."""
