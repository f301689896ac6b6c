"""IEC 61008-1:2010, residual current circuit-breakers: break times."""
