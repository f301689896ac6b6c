"""IEC 60228:2004, conductors of insulated cables.

Here: copper conductors to 120 mm², classes 1 and 2; resistance of a length.
Not here: class 5, aluminium, metal-coated wires, larger sizes.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 60228", "2004")
