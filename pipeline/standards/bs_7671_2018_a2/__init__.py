"""BS 7671:2018 with amendment 2:2022, requirements for electrical installations.

Here: loop limits, capacities and drops of copper cables (4D1, 4D2, 4D4, 4D5, 4E1, 4E2, 4E4), factors, bonding sizes.
Not here: aluminium, mineral insulation, BS 1361 and BS 1362 fuses, reactance apart from z.
"""

from pipeline.standards.source import Source

SOURCE = Source("BS 7671", "2018+A2:2022")
