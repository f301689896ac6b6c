"""The register as one page for the office's browser: a plain table that can be searched, filtered and sorted.

It holds everything it needs, loads nothing, and works by keyboard; without scripts the whole table still stands there.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
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
td[data-day], td:first-child { white-space: nowrap; }
form { margin-bottom: 1rem; }
label { margin-right: 1rem; }
tr:target { outline: 2px solid #000; }
:focus-visible { outline: 3px solid #000; outline-offset: 2px; }
@media print { form, button::after { display: none; } }
"""
SCRIPT = """
const rows = [...document.querySelectorAll("tbody tr")];
const form = document.querySelector("form"), count = document.querySelector("output");
form.hidden = false;
function choose() {
  const text = form.search.value.trim().toLowerCase(), state = form.state.value, task = form.task.value;
  let shown = 0;
  for (const row of rows) {
    const wanted = (!text || row.textContent.toLowerCase().includes(text))
      && (!state || row.dataset.state === state) && (!task || row.dataset.tasks.split(" ").includes(task));
    row.hidden = !wanted;
    shown += wanted ? 1 : 0;
  }
  count.textContent = shown + " of " + rows.length + " packs";
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
SOON = timedelta(days=90)
"""How long before its day an inspection is told as due."""

# what the office has to do with packs: the word in the page, and what a person reads
TASKS = {
    "sign": "awaiting signature",
    "tell": "somebody is still to be told, or to be looked up",
    "late": "somebody is to be told, and the day is past",
    "soon": f"next inspection due within {SOON.days} days",
    "past": "next inspection past its day",
}
POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"


def page_of(lines: Sequence[Line], as_of: date, check_value: str) -> str:
    """The page; what is overdue is told as of that day."""
    states = "".join(f"<option>{escape(each)}</option>" for each in dict.fromkeys(line.state for line in lines))
    counts = Counter(task for line in lines for task in tasks_of(line, as_of))
    tasks = "".join(f'<option value="{each}">{told} ({counts[each]})</option>' for each, told in TASKS.items())
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
<p>As of {as_of:{DAY}}: {_told(counts)}. Register check value {escape(check_value)}.</p>
<p>This page names clients: keep it in the office.</p>
<form hidden>
<label>Search <input name="search" type="search"></label>
<label>State <select name="state"><option value="">every state</option>{states}</select></label>
<label>To do <select name="task"><option value="">every pack ({len(lines)})</option>{tasks}</select></label>
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


def tasks_of(line: Line, as_of: date) -> list[str]:
    """What the office has to do with a pack on that day, as words of `TASKS`."""
    return [
        *(["sign"] if line.state is Kind.AWAITING else []),
        *(["tell"] if line.to_tell else []),
        *(["late"] if line.due and line.due < as_of else []),
        *(["soon"] if line.inspection and as_of <= line.inspection <= as_of + SOON else []),
        *(["past"] if line.inspection and line.inspection < as_of else []),
    ]


def _told(counts: Mapping[str, int]) -> str:
    """What the office has to do, in one sentence."""
    return "; ".join(f"{TASKS[each]}: {counts.get(each, 0)}" for each in TASKS)


def _row(line: Line, as_of: date) -> str:
    """One pack, linked to its file where it has one and to the revision that took its place."""
    cells = [_cell(value) for value in line.cells]
    name = escape(line.name)
    if line.file:
        cells[0] = f'<td data-value="{name}"><a href="packs/{name}/{escape(line.file)}">{name}</a></td>'
    if line.by:
        by = escape(line.by)
        cells[2] = f'<td data-value="{escape(line.state)}">{escape(line.state)} by <a href="#{by}">{by}</a></td>'
    for place, day, word in ((7, line.inspection, "past its day"), (9, line.due, "overdue")):
        if day and day < as_of:
            cells[place] = f'<td data-value="{day.isoformat()}">{day:{DAY}}, {word}</td>'
    tasks = " ".join(tasks_of(line, as_of))
    return f'<tr id="{name}" data-state="{escape(line.state)}" data-tasks="{tasks}">{"".join(cells)}</tr>'


def _cell(value: str | date | None) -> str:
    """One cell; what is sorted by is beside what is shown."""
    if isinstance(value, date):
        return f'<td data-day data-value="{value.isoformat()}">{value:{DAY}}</td>'
    text = escape(value or "")
    return f'<td data-value="{text}">{text}</td>'
