"""IEC 60364-7-722:2018, supplies for electric vehicles.

Here: figures for residual current protection of a connecting point.
Not here: wireless charging, d.c. supply.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 60364-7-722", "2018")
