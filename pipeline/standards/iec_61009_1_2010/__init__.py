"""IEC 61009-1:2010, residual current circuit-breakers with overcurrent protection: break times."""
