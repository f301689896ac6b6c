"""The register as one page for the office's browser: a plain table that can be searched, filtered and sorted.

It holds everything it needs, loads nothing, and works by keyboard; without scripts the whole table still stands there.
"""

from collections.abc import Sequence
from datetime import date
from html import escape

from pipeline.register.entries import Kind
from pipeline.register.listing import DAY, TITLES, Line

STYLE = """
:root { color-scheme: light; }
body { font: 1rem/1.4 "Liberation Sans", Arial, sans-serif; margin: 1.5rem; color: #1a1a1a; background: #fff; }
table { border-collapse: collapse; }
th, td { border-bottom: 1px solid #bbb; padding: .3rem .6rem; text-align: left; vertical-align: top; }
th button { font: inherit; font-weight: bold; border: 0; background: none; padding: 0; cursor: pointer; }
th[aria-sort=ascending] button::after { content: " (up)"; font-weight: normal; }
th[aria-sort=descending] button::after { content: " (down)"; font-weight: normal; }
label { margin-right: 1rem; }
:focus-visible { outline: 3px solid #000; outline-offset: 2px; }
@media print { form, button::after { display: none; } }
"""
SCRIPT = """
const rows = [...document.querySelectorAll("tbody tr")];
const form = document.querySelector("form"), count = document.querySelector("output");
const say = (shown) => { count.textContent = shown + " of " + rows.length + " packs"; };
form.hidden = false;
function choose() {
  const text = form.search.value.trim().toLowerCase(), state = form.state.value, due = form.due.checked;
  let shown = 0;
  for (const row of rows) {
    const wanted = (!text || row.textContent.toLowerCase().includes(text))
      && (!state || row.dataset.state === state) && (!due || row.dataset.due);
    row.hidden = !wanted;
    shown += wanted ? 1 : 0;
  }
  say(shown);
}
form.addEventListener("input", choose);
form.addEventListener("submit", (event) => event.preventDefault());
document.querySelectorAll("th").forEach((head, place) => {
  head.firstElementChild.addEventListener("click", () => {
    const up = head.getAttribute("aria-sort") !== "ascending";
    document.querySelectorAll("th").forEach((each) => each.removeAttribute("aria-sort"));
    head.setAttribute("aria-sort", up ? "ascending" : "descending");
    const value = (row) => row.cells[place].dataset.value;
    const order = (a, b) => (value(a) === "") - (value(b) === "") || (up ? 1 : -1) * value(a).localeCompare(value(b));
    rows.sort(order).forEach((row) => row.parentNode.append(row));
  });
});
choose();
"""
POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"


def page_of(lines: Sequence[Line], as_of: date, check_value: str) -> str:
    """The page; what is overdue is told as of that day."""
    states = "".join(f"<option>{escape(each)}</option>" for each in dict.fromkeys(line.state for line in lines))
    heads = "".join(f'<th scope="col"><button type="button">{escape(title)}</button></th>' for title in TITLES)
    body = "\n".join(_row(line, as_of) for line in lines)
    return f"""<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<meta http-equiv="Content-Security-Policy" content="{POLICY}">
<title>Register of handover packs</title>
<style>{STYLE}</style>
<h1>Register of handover packs</h1>
<p>As of {as_of:{DAY}}. {_counts(lines, as_of)} Register check value {escape(check_value)}.</p>
<form hidden>
<label>Search <input name="search" type="search"></label>
<label>State <select name="state"><option value="">every state</option>{states}</select></label>
<label><input name="due" type="checkbox"> somebody is still to be told</label>
<output aria-live="polite"></output>
</form>
<table>
<caption hidden>One row a pack</caption>
<thead><tr>{heads}</tr></thead>
<tbody>
{body}
</tbody>
</table>
<script>{SCRIPT}</script>
</html>
"""


def _counts(lines: Sequence[Line], as_of: date) -> str:
    """What the office has to do, in one line."""
    waiting = sum(1 for each in lines if each.state is Kind.AWAITING)
    overdue = sum(1 for each in lines if each.due and each.due < as_of)
    again = sum(1 for each in lines if each.inspection and each.inspection < as_of)
    return (
        f"Awaiting signature: {waiting}. Notifications past their day: {overdue}. Inspections past their day: {again}."
    )


def _row(line: Line, as_of: date) -> str:
    """One pack, its name linked to its file where it has one."""
    cells = [_cell(value) for value in line.cells]
    if line.state not in {Kind.RESERVED, Kind.VOID}:
        name = escape(line.name)
        link = f'<a href="packs/{name}/{name}-handover-pack.pdf">{name}</a>'
        cells[0] = f'<td data-value="{name}">{link}</td>'
    for place, day, word in ((7, line.inspection, "past its day"), (9, line.due, "overdue")):
        if day and day < as_of:
            cells[place] = f'<td data-value="{day.isoformat()}">{day:{DAY}}, {word}</td>'
    due = line.due.isoformat() if line.due else ""
    return f'<tr data-state="{escape(line.state)}" data-due="{due}">{"".join(cells)}</tr>'


def _cell(value: str | date | None) -> str:
    """One cell; what is sorted by is beside what is shown."""
    if isinstance(value, date):
        return f'<td data-value="{value.isoformat()}">{value:{DAY}}</td>'
    text = escape(value or "")
    return f'<td data-value="{text}">{text}</td>'
