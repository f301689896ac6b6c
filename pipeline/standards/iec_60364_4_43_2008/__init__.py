"""IEC 60364-4-43:2008, protection against overcurrent.

Here: coordination figures, conductors under fault current.
Not here: parallel conductors, overload of motors.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 60364-4-43", "2008")
