"""IEC 60269-1:2006, low-voltage fuses: ratio for selectivity."""
