"""IEC 60364-6:2016, verification.

Here: insulation resistance, share of the loop limit for readings on a cold circuit.
Not here: insulation of floors and walls, SELV separation.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 60364-6", "2016")
