"""IEC 60364-4-41:2005 with amendment 1:2017, protection against electric shock.

Here: disconnection times, fault loop of TN and TT systems.
Not here: IT systems, d.c., extra-low voltage, separation.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 60364-4-41", "2005+A1:2017")
