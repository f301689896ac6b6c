"""A document pipeline for firms that install electric-vehicle charge points: from workbook to handover pack."""

__version__ = "0.1.0"
