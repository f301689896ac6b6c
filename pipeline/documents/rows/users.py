"""What those who charge must know: a lower limit for now, an RCD before several circuits, the number in a fire."""

from pipeline.documents.texts import BLANK, Texts, given, joined
from pipeline.facts.choices import Nation, RcdDelay

# an emergency number of the United Kingdom that does not hold elsewhere (common knowledge), and what is printed instead
BRITISH_NUMBER, NUMBER_THERE = "999", "the emergency number of the country"


def is_lowered(point: Texts) -> bool:
    """Whether a point charges with less than its setting for now."""
    usual, lower = point["current_limit"], point["temporary_limit"]
    return given(lower) and (not given(usual) or float(lower) < float(usual))


def lowered(point: Texts) -> str:
    """A point that charges with less than its setting for now, and why."""
    if not is_lowered(point):
        return BLANK
    reason = f" ({point['temporary_reason']})" if given(point["temporary_reason"]) else ""
    return f"charge point {point['point']} with at most {point['temporary_limit']} A{reason}"


def further_rcd(board: Texts) -> str:
    """An RCD before several circuits of a board, for those who press its button."""
    if not given(board["rcd_type"]):
        return BLANK
    delay = f"delayed, {board['rcd_delay']}" if board["rcd_delay"] not in (BLANK, RcdDelay.NONE) else BLANK
    where = joined([board["description"], board["place"]])
    return f"{where} (board {board['board']}, {joined([board['rcd_rating'] + ' mA', delay])})"


def emergency(row: Texts, own: str) -> str:
    """The number to ring in a fire: that typed for the job, else the firm's, where it holds at the site."""
    there = row.get("emergency", BLANK)
    if given(there):
        return there
    return NUMBER_THERE if row["nation"] == Nation.ELSEWHERE and BRITISH_NUMBER in own else own
