"""BS 7430:2011, protective earthing.

Here: one vertical rod.
Not here: rods in groups (their table of factors could not be confirmed), plates, tapes, foundations.
"""

from pipeline.standards.source import Source

SOURCE = Source("BS 7430", "2011")
