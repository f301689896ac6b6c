"""The finished file: PDFs of several documents become one tagged PDF/A-3 with its record attached."""
