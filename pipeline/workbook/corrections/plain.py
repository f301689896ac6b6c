"""Texts of strangers on their way into a workbook's XML."""

import re

UNPRINTABLE = re.compile("[^\t\n\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def plain_text(text: str) -> str:
    """A text that XML can hold and that Excel does not read as an escape."""
    return re.sub("_(?=x[0-9A-Fa-f]{4}_)", "_x005F_", UNPRINTABLE.sub("\ufffd", text))
