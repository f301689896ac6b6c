"""Relations of the trade that no document of this package gives.

Here: power and current, the 0.4 % rule, bounds of a three-phase fault current.
Not here: anything that has a clause.
"""

from pipeline.standards.source import Source

SOURCE = Source("common practice", "")
