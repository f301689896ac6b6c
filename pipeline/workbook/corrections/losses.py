"""What the copy cannot keep of the admin's workbook, found by looking into the file."""

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.corrections.package import Package


def losses_of(package: Package) -> list[str]:
    """One sentence for each thing that the copy does not keep; shapes, drop-downs and results of formulas are kept."""
    return [*_damaged(package), *_signatures(package)]


def _damaged(package: Package) -> list[str]:
    """Parts that cannot be read."""
    lost = []
    for name in sorted(package.names):
        try:
            for _ in package.pieces(name):
                pass
        except WorkbookRefusedError:
            lost.append(f"A part of your file is damaged and missing from this copy: {name}.")
    return lost


def _signatures(package: Package) -> list[str]:
    """Digital signatures hold for the signed file alone."""
    signed = any(name.startswith("_xmlsignatures/") for name in package.names)
    return ["Your file carries a digital signature; it holds for that file, not for this copy."] if signed else []
