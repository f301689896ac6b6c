"""The last step of writing: describe the file, claim what holds, and save it the same way every time."""

import io
from typing import TYPE_CHECKING

from pipeline.pack.conformance import failures
from pipeline.pack.metadata import CLAIMS, Claim, Description, describe

if TYPE_CHECKING:
    import pikepdf


def saved(pdf: "pikepdf.Pdf", description: Description, *, silent: bool = False) -> tuple[bytes, Claim]:
    """The bytes of a finished PDF and its claim: the most that an independent judge confirms.

    The judge does not ask what a picture's tag holds; with a `silent` one only the least is claimed. When not even
    that holds, it is claimed nevertheless; the inspection then says what is wrong.
    """
    content, claim = b"", CLAIMS[-1]
    for claim in CLAIMS[-1:] if silent else CLAIMS:
        content = written(pdf, description, claim)
        if not failures(content, claim):
            break
    return content, claim


def written(pdf: "pikepdf.Pdf", description: Description, claim: Claim) -> bytes:
    """The bytes of a PDF with a claim that is known to hold.

    Its identifier follows from its content, so that equal content gives equal bytes.
    """
    import pikepdf  # noqa: PLC0415

    describe(pdf, description.claiming(claim))
    target = io.BytesIO()
    pdf.save(
        target,
        deterministic_id=True,
        force_version="1.7",
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        compress_streams=True,
    )
    return target.getvalue()
