"""Programs and fonts outside Python: found here, asked for their version here, run here."""
