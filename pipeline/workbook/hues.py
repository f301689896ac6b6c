"""The one hue of the workbook in its shades, and how tall a text stands: what needs no workbook to be known."""

INK, SHADE, TINT, FAINT, GREY, RED = "1F4E5F", "BFD6DD", "E3EEF1", "F6F8F9", "7A8488", "A61C1C"
LINE = 15.0
"""Height of one line of type in points."""


def lines_height(text: str, characters: float) -> float:
    """Height in points of a text wrapped at that many characters."""
    return LINE * lines(text, characters) + 2


def lines(text: str, characters: float) -> int:
    """Into how many lines whole words wrap."""
    count, used = 1, 0
    for word in text.split():
        if used and used + 1 + len(word) > characters:
            count, used = count + 1, 0
        used += len(word) + (1 if used else 0)
    return count
