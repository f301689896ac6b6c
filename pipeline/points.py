"""Named points of the work that must survive a death: between any two of them a run may end without a word."""

from enum import StrEnum


class Point(StrEnum):
    """What has just been done; after each of these the next run completes what this one began."""

    OPENED = "the register is opened"
    KEPT = "the photos are kept"
    RESERVED = "the numbers are reserved"
    MADE = "a pack is made"
    WRITTEN = "the files of a bag are written"
    BAGGED = "a bag is whole"
    MOVED = "a bag is moved into the archive"
    ENTERED = "a pack is entered"
    COPIED = "the copy for daily use is whole"
    PUBLISHED = "the copy for daily use is in its place"
    CLOSED = "the run is closed in the register"
    CLEARED = "what was kept for packs under way is gone"
    LISTED = "the page of the register is written"
    RELEASED = "a release is entered"
    SENDING = "a mail is entered as on its way"
    ANSWERED = "the mail server has answered"
    TOLD = "what became of a mail is entered"


def passed(point: Point) -> None:
    """Say that a point is passed; does nothing. The tests put in its place what ends the process there."""
