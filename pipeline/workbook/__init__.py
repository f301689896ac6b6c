"""The workbook: how it is written, refused, and read."""
