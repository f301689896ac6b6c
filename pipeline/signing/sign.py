"""The signature in a pack: PAdES over the whole file, added behind it without a change to what is there.

The field is invisible and stands in the structure tree, as every field of a tagged file must (ISO 14289-1, 7.18.4).
What the file says of itself is left as it is: its title and dates are those of the pack, and what a writer makes of
XMP anew would be no PDF/A any more.
"""

import io
from typing import TYPE_CHECKING, Any

from pyhanko.pdf_utils.generic import ArrayObject, DictionaryObject, NumberObject, TextStringObject, pdf_name
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from pipeline.signing.key import Key

if TYPE_CHECKING:
    from pyhanko.sign.timestamps import TimeStamper

FIELD = "Release"
LABEL = "Signature of the person responsible"
DIGEST = "sha256"


class _Writer(IncrementalPdfFileWriter):
    """Adds to a file and leaves its metadata as they are."""

    def _update_meta(self) -> None:
        """Nothing is written anew."""


def signed(pack: bytes, key: Key, stamper: "TimeStamper | None" = None) -> bytes:
    """The pack with a signature behind it; raises errors of pyhanko and, with a time stamp, of the network."""
    from pyhanko.sign import fields, signers  # noqa: PLC0415

    writer = _Writer(io.BytesIO(pack), strict=True)
    fields.append_signature_field(writer, fields.SigFieldSpec(FIELD, readable_field_name=LABEL))
    _tag(writer)
    about = signers.PdfSignatureMetadata(
        field_name=FIELD, subfilter=fields.SigSeedSubFilter.PADES, md_algorithm=DIGEST, name=key.holder
    )
    target = io.BytesIO()
    signers.PdfSigner(about, key.signer, timestamper=stamper).sign_pdf(writer, existing_fields_only=True, output=target)
    return target.getvalue()


def _tag(writer: _Writer) -> None:
    """Hang the field into the structure tree, as the last thing of the document."""
    [(_, _, field)] = list(_fields(writer))
    widget = field.get_object()
    page = widget.raw_get("/P")
    tree = writer.root["/StructTreeRoot"]
    document, parents = tree["/K"], tree["/ParentTree"]
    number = int(tree["/ParentTreeNextKey"])
    place = DictionaryObject({pdf_name("/Type"): pdf_name("/OBJR"), pdf_name("/Obj"): field, pdf_name("/Pg"): page})
    form = DictionaryObject(
        {
            pdf_name("/Type"): pdf_name("/StructElem"),
            pdf_name("/S"): pdf_name("/Form"),
            pdf_name("/P"): tree.raw_get("/K"),
            pdf_name("/Alt"): TextStringObject(LABEL),
            pdf_name("/K"): ArrayObject([place]),
        }
    )
    reference = writer.add_object(form)
    document["/K"].append(reference)
    parents["/Nums"].extend([NumberObject(number), reference])
    tree[pdf_name("/ParentTreeNextKey")] = NumberObject(number + 1)
    widget[pdf_name("/StructParent")] = NumberObject(number)
    for changed in (document, document["/K"], parents, parents["/Nums"], tree, widget):
        writer.update_container(changed)


def _fields(writer: _Writer) -> Any:
    """The one field that was added."""
    from pyhanko.sign import fields  # noqa: PLC0415

    return fields.enumerate_sig_fields(writer, with_name=FIELD)
