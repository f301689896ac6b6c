"""IEC 60364-5-54:2011, earthing and protective conductors.

Here: k factors, sizes of protective, bonding and earthing conductors, resistance of armour.
Not here: electrode materials, combined conductors.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 60364-5-54", "2011")
