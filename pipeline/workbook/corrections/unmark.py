"""Take all marks out of a copy that comes back, so that what is read is the admin's workbook and nothing of ours."""

from pipeline.workbook.corrections.formats import take_formats
from pipeline.workbook.corrections.looks import take_looks
from pipeline.workbook.corrections.notes import take_notes
from pipeline.workbook.corrections.package import Package
from pipeline.workbook.corrections.tabs import is_marked, take_tab


def remove_marks(content: bytes) -> bytes:
    """The workbook without marks; one that carries none comes back as it is.

    Answers stay. Raises WorkbookRefusedError for a file that cannot be opened safely.
    """
    package = Package(content)
    if not is_marked(package):
        return content
    take_tab(package)
    for sheet in package.sheets():
        package.put(sheet.part, take_formats(package.xml(sheet.part), sheet.part))
        take_notes(package, sheet.part)
    take_looks(package)
    return package.save()[0]
