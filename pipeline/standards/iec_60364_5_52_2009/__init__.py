"""IEC 60364-5-52:2009, wiring systems.

Here: capacities of copper cables to 50 mm² (methods A1 to E), their factors, voltage drop of Annex G.
Not here: aluminium, mineral insulation, methods F and G, factors for harmonics and for soil other than 2.5 K·m/W.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 60364-5-52", "2009")
