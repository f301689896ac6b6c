"""IEC 60898-1:2015, circuit-breakers for households: instantaneous tripping, let-through energy of class 3."""
