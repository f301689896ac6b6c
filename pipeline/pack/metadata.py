"""What a PDF says of itself, once as XMP and once as document information, both alike and without a clock."""

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from pipeline import __version__

if TYPE_CHECKING:
    import pikepdf

PRODUCER = f"charge-point-handover {__version__}"


def marked(title: str, mark: str) -> str:
    """A title with what marks a draft before it."""
    return f"{mark}: {title}" if mark else title


# XMP of PDF/A-3 (ISO 19005-3, 6.6.2); the property of PDF/UA needs a description of its schema (6.6.2.3).
_PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about=""
    xmlns:dc="http://purl.org/dc/elements/1.1/"
    xmlns:xmp="http://ns.adobe.com/xap/1.0/"
    xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
    xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
   <dc:format>application/pdf</dc:format>
   <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
   <dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
   <dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
   <dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
   <xmp:CreatorTool>{producer}</xmp:CreatorTool>
   <xmp:CreateDate>{moment}</xmp:CreateDate>
   <xmp:ModifyDate>{moment}</xmp:ModifyDate>
   <xmp:MetadataDate>{moment}</xmp:MetadataDate>
   <pdf:Producer>{producer}</pdf:Producer>
   <pdfaid:part>3</pdfaid:part>
   <pdfaid:conformance>{level}</pdfaid:conformance>
  </rdf:Description>{accessible}
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>"""

_ACCESSIBLE = """
  <rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
   <pdfuaid:part>1</pdfuaid:part>
  </rdf:Description>
  <rdf:Description rdf:about=""
    xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
    xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
    xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
   <pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
    <pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
    <pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
    <pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
    <pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
     <pdfaProperty:name>part</pdfaProperty:name>
     <pdfaProperty:valueType>Integer</pdfaProperty:valueType>
     <pdfaProperty:category>internal</pdfaProperty:category>
     <pdfaProperty:description>Part of ISO 14289 that the file conforms to</pdfaProperty:description>
    </rdf:li></rdf:Seq></pdfaSchema:property>
   </rdf:li></rdf:Bag></pdfaExtension:schemas>
  </rdf:Description>"""


@dataclass(frozen=True, slots=True)
class Claim:
    """What a file says it conforms to: the level of PDF/A-3 (A or B), and whether PDF/UA-1 as well."""

    level: str
    accessible: bool


# from the most to the least that can be said
CLAIMS = (Claim("A", accessible=True), Claim("A", accessible=False), Claim("B", accessible=False))


@dataclass(frozen=True, slots=True)
class Description:
    """Title, author, subject and language of a file, and the date of issue that stands for every date in it."""

    title: str
    author: str
    subject: str
    issue_date: date
    language: str = "en-GB"
    claim: Claim = CLAIMS[0]

    def claiming(self, claim: Claim) -> "Description":
        """The same with another claim."""
        return replace(self, claim=claim)


def describe(pdf: "pikepdf.Pdf", description: Description) -> None:
    """Write the description into a PDF as XMP and as document information, and date its colour profile alike."""
    import pikepdf  # noqa: PLC0415

    pdf.Root.Metadata = pdf.make_stream(
        _packet(description).encode(), Type=pikepdf.Name.Metadata, Subtype=pikepdf.Name.XML
    )
    day = pdf_date(description.issue_date)
    entries = {
        "/Title": description.title,
        "/Author": description.author,
        "/Subject": description.subject,
        "/Creator": PRODUCER,
        "/Producer": PRODUCER,
        "/CreationDate": day,
        "/ModDate": day,
    }
    pdf.trailer.Info = pdf.make_indirect(pikepdf.Dictionary(entries))
    _date_profile(pdf, description.issue_date)


def pdf_date(day: date) -> str:
    """A day as PDF writes dates: its first second, in universal time."""
    return f"D:{day:%Y%m%d}000000Z"


def _packet(description: Description) -> str:
    """The XMP packet."""
    return _PACKET.format(
        title=escape(description.title),
        author=escape(description.author),
        subject=escape(description.subject),
        language=escape(description.language),
        producer=escape(PRODUCER),
        moment=f"{description.issue_date.isoformat()}T00:00:00Z",
        level=description.claim.level,
        accessible=_ACCESSIBLE if description.claim.accessible else "",
    )


def _date_profile(pdf: "pikepdf.Pdf", day: date) -> None:
    """Set the creation date in the colour profile (ICC.1, bytes 24 to 35): the converter writes the clock there."""
    stamp = b"".join(number.to_bytes(2, "big") for number in (day.year, day.month, day.day, 0, 0, 0))
    for intent in pdf.Root.OutputIntents:
        profile = intent.DestOutputProfile
        content = profile.read_bytes()
        profile.write(content[:24] + stamp + content[36:])
