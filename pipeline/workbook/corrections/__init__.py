"""A copy of the admin's workbook with every finding marked at its cell, and the way back to the file without marks.

The file's own XML is edited, part by part, so that shapes, drop-downs and results of formulas stay as they are:
to load and save it would lose them. Every mark can be told from the admin's own work, also after Excel or
LibreOffice has saved the copy.
"""
