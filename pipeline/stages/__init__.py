"""The stages, one verb each: read, validate, check, decide, order, render, convert, assemble, inspection, commit."""
