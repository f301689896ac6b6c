"""What the screen says at the end of a check or a build."""

import sys

from pipeline import report as words
from pipeline.desk_commands import lines_of_table
from pipeline.disk import write_durably
from pipeline.errors import MachineError
from pipeline.run import Options, Report
from pipeline.stages.commit import Outputs
from pipeline.stages.leave import leave_copy
from pipeline.standing import line_to_send
from pipeline.telling import groups, questions


def tell_report(report: Report, options: Options, *, made: bool) -> None:
    """The summary table, the balance, the corrections, the copy, and what to do next."""
    outputs = Outputs(options.out)
    if report.new_register:
        print(
            f"A NEW REGISTER begins in {outputs.root.resolve()}: numbers count from 0001. Its id: {report.new_register}"
        )
    if report.recovered:
        print(f"Finished what an earlier run had begun: {', '.join(report.recovered)}.")
    print("\n".join(lines_of_table(("Job", "Outcome", "Pack", "Next"), words.summary_rows(report))))
    print(words.totals(report))
    print("\nRows, sheet by sheet:\n  " + "\n  ".join(words.balance_lines(report)))
    text = words.corrections(report)
    print(f"\n{text}")
    if made:
        outputs.root.mkdir(parents=True, exist_ok=True)
        write_durably(outputs.corrections, text.encode())
        print("".join(f"{line}\n" for line in words.notices(report, outputs.held)), end="")
    print("".join(f"{line}\n" for line in words.count_of_answers(report)), end="")
    _leave_copy(report, options)
    _troubles(report)
    if report.drafts is not None:
        told = f" in {outputs.drafts}" if report.drafts else ""
        print(f"Drafts: {len(report.drafts)} files{told}; nothing was issued and no number was reserved.")
    print("".join(f"{line}\n" for line in report.standing), end="")
    if report.check_value:
        print(f"Packs: {outputs.packs}\n{line_to_send(report.check_value, options.as_of)}")


def _leave_copy(report: Report, options: Options) -> None:
    """Leave the copy with corrections and say where it lies; without it the run is as good."""
    content, outputs = report.week.content, Outputs(options.out)
    try:
        path = leave_copy(content, options.workbook, outputs, groups(report), questions(report))
        if not groups(report):
            print(f"A copy of your workbook, without any mark: {path}")
            return
        print(f"A copy of your workbook, with each finding marked at its cell: {path}")
        print(f'Correct the cells there, save, and check that copy in place of yours: handover check "{path}"')
    except MachineError as trouble:
        print(f"{trouble.message}\n{trouble.remedy}", file=sys.stderr)


def _troubles(report: Report) -> None:
    """What failed on this machine."""
    for line in report.unsigned:
        print(f"Not signed: {line}")
    for line in words.troubles(report.decisions):
        print(f"Failed on this machine: {line}")
    if report.machine_trouble:
        print(f"{report.machine_trouble.message}\n{report.machine_trouble.remedy}", file=sys.stderr)
    for line in report.failed_drafts:
        print(f"No draft of {line}")
