"""The sheets of the workbook, one row type each."""
