"""IEC 60898-1:2015, circuit-breakers for households: ranges of instantaneous tripping."""
