"""Find and change cells of the demo's rows, so that a sound week can be spoilt one cell at a time."""

from pipeline.demo.site import Rows, TypedRow


def find_row(rows: Rows, sheet: str, job: str = "", **cells: object) -> TypedRow:
    """The first row of a sheet that belongs to the job and has these cells; raises LookupError where none does."""
    wanted = {**({"job": job} if job else {}), **cells}
    for row in rows.get(sheet, []):
        if all(row.get(name) == value for name, value in wanted.items()):
            return row
    message = f"no row {wanted} on {sheet}"
    raise LookupError(message)


def set_cell(rows: Rows, sheet: str, job: str, attribute: str, value: object) -> Rows:
    """Change one cell of the job's first row on a sheet; None empties it. Gives the rows back."""
    find_row(rows, sheet, job)[attribute] = value
    return rows


def keep_jobs(rows: Rows, *jobs: str) -> Rows:
    """Only the rows of these jobs, and those of the firm."""
    return {sheet: [row for row in given if "job" not in row or row["job"] in jobs] for sheet, given in rows.items()}
