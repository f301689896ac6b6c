"""A firm's copy of a template: every way to spoil it is told by name and place before anything is rendered."""

import io
import re

import docx
import pytest

from pipeline.documents.fields import label
from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.lint import template_troubles
from pipeline.documents.package import packed, unpacked
from pipeline.documents.templates import templates
from pipeline.documents.wordml import RELATIONS

BODY = "word/document.xml"
LINK = f'<Relationship Id="rIdX" Type="{RELATIONS}/{{}}" Target="{{}}"{{}}/>'
OUTSIDE = ' TargetMode="External"'


def edited(document, *changes, part=BODY):
    """A copy of the supplied template with texts of one part replaced, each once."""
    parts = unpacked(templates()[document])
    text = parts[part].decode()
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return packed(parts | {part: text.encode()})


def row_of(document, tag):
    """The table row in which a tag stands."""
    body = unpacked(templates()[document])[BODY].decode()
    return next(row for row in re.findall(r"<w:tr>.*?</w:tr>", body) if tag in row)


@pytest.mark.parametrize("document", LAYOUTS)
def test_the_supplied_template_has_no_trouble_even_when_another_program_saved_it(document):
    assert template_troubles(document, templates()[document]) == []
    stream = io.BytesIO()
    docx.Document(io.BytesIO(templates()[document])).save(stream)
    assert template_troubles(document, stream.getvalue()) == []


def test_wording_fonts_sizes_and_further_fields_are_the_firms_business():
    more = "<w:p><w:r><w:t>Seen by our office. {{ firm.telephone }}</w:t></w:r></w:p>"
    copy = edited("cover", ("What was done", "Our work for you"), ('w:val="Heading2"', 'w:val="Heading3"'))
    assert template_troubles("cover", copy) == []
    assert template_troubles("cover", edited("cover", ("<w:body>", f"<w:body>{more}"))) == []


@pytest.mark.parametrize(
    ("document", "changes", "told"),
    [
        ("cover", [("{{ job.site }}", "{{ job.sit }}")], "Did you mean job.site?"),
        ("cover", [("{{ job.site }}", "{{ jobs.site }}")], "{{ jobs.site }} names no field"),
        ("cover", [("{{ job.site }}", "")], "the field {{ job.site }} under the label Site address is missing"),
        ("cover", [("{{ job.site }}", "{{ job.site")], "table 2, row 1, cell 2: broken tag"),
        ("cover", [("{{ job.site }}", "{ job.site }}")], "broken tag: }}"),
        ("cover", [("{{ job.site }}", "{{ job.client }}")], "{{ job.client }} stands at Site address, not at Client"),
        ("cover", [("{{ job.site }}", "{{ job.site.upper() }}")], "is no tag but code"),
        ("cover", [("{{ job.site }}", "{{ job.site }}{% set x = 1 %}")], "{% set x = 1 %} is no part of this document"),
        ("cover", [("{{ job.site }}", "{# note #}")], "broken tag: {#"),
        ("cover", [("{%p if defects %}", "")], "the instruction {%p if defects %} is missing"),
        ("cover", [("{%p if defects %}", "")], "ends nothing"),
        ("cover", [("{%p endif %}", "")], "has no end"),
        (
            "cover",
            [(">Client<", ">Site address<"), (">Site address<", ">Client<")],
            "stands at Client, not at Site address",
        ),
        ("circuits", [("{{ line.zs }}", "{{ line.r2 }}")], "not at"),
        ("photos", [("{{ photo_of[each.file] }}", "")], "the field {{ photo_of[each.file] }} is missing"),
        ("notices", [('symbol_of["warning"]', 'symbol_of["warming"]')], "is no tag but code"),
        ("cover", [("<w:body>", '<w:body><w:p><w:ins w:id="1" w:author="x"></w:ins></w:p>')], "tracked changes"),
        (
            "cover",
            [("<w:body>", '<w:body><w:p><w:r><w:rPr><w:rFonts w:ascii="Papyrus"/></w:rPr></w:r></w:p>')],
            "Papyrus",
        ),
        (
            "cover",
            [("<w:body>", "<w:body><w:p><w:r><w:instrText> INCLUDEPICTURE x </w:instrText></w:r></w:p>")],
            "INCLUDEPICTURE",
        ),
        ("cover", [("<w:headerReference", "<w:footerReference")], "no header"),
    ],
)
def test_a_spoilt_copy_is_told_by_what_and_where(document, changes, told):
    troubles = template_troubles(document, edited(document, *changes))
    assert any(told in each for each in troubles), troubles
    assert all(each.startswith(f"{document}.docx: ") for each in troubles)


def test_a_lost_table_row_is_told_by_its_field_and_label():
    copy = edited("cover", (row_of("cover", "{{ job.client }}"), ""))
    [told] = template_troubles("cover", copy)
    assert "{{ job.client }} under the label Client is missing" in told


def test_a_line_moved_out_of_its_table_is_told():
    row = row_of("circuits", "{{ line.zs }}")
    copy = edited("circuits", (row, ""), ("</w:tbl>", f"{row}</w:tbl>"))
    assert any("outside its part" in each for each in template_troubles("circuits", copy))


def test_two_columns_whose_headings_were_exchanged_are_told():
    one, other = (label("points", each) for each in ("serial", "phases"))
    copy = edited("notifications", (f">{one}<", ">§<"), (f">{other}<", f">{one}<"), (">§<", f">{other}<"))
    assert sum("stands at" in each for each in template_troubles("notifications", copy)) == 2


@pytest.mark.parametrize(
    ("kind", "target", "told"),
    [
        ("image", "http://192.0.2.1/logo.png", "it fetches a picture from elsewhere (http://192.0.2.1/logo.png)"),
        ("attachedTemplate", "http://192.0.2.1/x.dotm", "it fetches a attachedTemplate"),
    ],
)
def test_what_would_be_fetched_from_elsewhere_is_told(kind, target, told):
    links = "word/_rels/document.xml.rels"
    end = "</Relationships>"
    copy = edited("cover", (end, LINK.format(kind, target, OUTSIDE) + end), part=links)
    assert any(told in each for each in template_troubles("cover", copy))


def test_a_link_for_readers_may_stand():
    end = "</Relationships>"
    link = LINK.format("hyperlink", "mailto:office@example.com", OUTSIDE)
    assert template_troubles("cover", edited("cover", (end, link + end), part="word/_rels/document.xml.rels")) == []


def test_macros_and_embedded_objects_are_told():
    parts = unpacked(templates()["cover"])
    for part in ("word/vbaProject.bin", "word/embeddings/oleObject1.bin", "word/activeX/activeX1.xml"):
        assert any("macro" in each for each in template_troubles("cover", packed(parts | {part: b"x"})))


def test_a_tag_in_header_or_footer_is_looked_at_too():
    copy = edited("cover", ("{{ firm.name }}", "{{ firm.nam }}"), part="word/header1.xml")
    assert template_troubles("cover", copy) == [
        "cover.docx: header1.xml, paragraph 1: {{ firm.nam }} names no field. Did you mean firm.name?",
        "cover.docx: the field {{ firm.name }} is missing from the header: whose page is it?",
    ]
    copy = edited("cover", ("{{ certificate.name }}", ""), part="word/footer1.xml")
    assert any("footer" in each for each in template_troubles("cover", copy))


@pytest.mark.parametrize("content", [b"", b"text", packed({"a": b""}), packed({BODY: b"<w:document"})])
def test_what_is_no_word_file_is_told(content):
    [told] = template_troubles("cover", content)
    assert told.startswith("cover.docx is ")


def test_a_file_under_a_wrong_name_is_told():
    assert template_troubles("covr", b"") == ["covr.docx: there is no document of this name. Did you mean cover.docx?"]
