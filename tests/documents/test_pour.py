"""Filling a template: texts stay texts, trouble with a template is told in plain words."""

import io

import docx
import pytest
from documents.sample import photo

from pipeline.documents.package import packed, unpacked
from pipeline.documents.pour import Image, pour
from pipeline.documents.styles import ACCENT
from pipeline.documents.templates import templates
from pipeline.documents.wordml import DECLARATION, NAMESPACES, paragraph
from pipeline.errors import MachineError


def template(text: str) -> bytes:
    """A template of one paragraph."""
    parts = unpacked(templates()["photos"])
    body = f"{DECLARATION}<w:document {NAMESPACES}><w:body>{paragraph(text, 'Normal')}</w:body></w:document>"
    return packed({**parts, "word/document.xml": body.encode()})


def body(content: bytes) -> str:
    return unpacked(content)["word/document.xml"].decode()


ROWS = {"firm": {"name": "Firm"}, "certificate": {"name": "X", "status": ""}}


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Smith & Sons <Ltd>", "Smith &amp; Sons &lt;Ltd&gt;"),
        ("{{ firm.name }}", "{{ firm.name }}"),
        ("{% for x in y %}", "{% for x in y %}"),
        ("{_{ }_} ]]>", "{_{ }_} ]]&gt;"),
        ('O\'Sample "the" \\1 €', "O&#39;Sample &#34;the&#34; \\1 €"),
    ],
)
def test_a_text_comes_out_letter_by_letter(text: str, written: str):
    assert written in body(pour("cover", template("{{ value }}"), {**ROWS, "value": text}))


def test_equal_input_gives_equal_bytes():
    values = {**ROWS, "value": "text"}
    assert pour("cover", template("{{ value }}"), values) == pour("cover", template("{{ value }}"), values)


@pytest.mark.parametrize("tag", ["{{ nothing }}", "{{ firm.nothing }}", "{{ firm.name", "{% if %}"])
def test_a_template_that_asks_for_what_is_not_there_is_refused(tag: str):
    with pytest.raises(MachineError) as trouble:
        pour("cover", template(tag), ROWS)
    assert "cover.docx" in trouble.value.message
    assert "templates/README.md" in trouble.value.remedy


@pytest.mark.parametrize("tag", ["{{ firm.__class__.__mro__ }}", "{{ ().__class__ }}", "{{ firm.clear() }}"])
def test_a_template_cannot_reach_behind_the_texts(tag: str):
    with pytest.raises(MachineError):
        pour("cover", template(tag), ROWS)


@pytest.mark.parametrize(
    "content", [b"", b"no zip", packed({"a.txt": b"not Word"}), packed({"word/document.xml": b"x"})]
)
def test_a_file_that_is_no_word_document_is_refused_by_name(content: bytes):
    with pytest.raises(MachineError, match=r"cover\.docx is no Word document"):
        pour("cover", content, ROWS)


def test_a_copy_saved_by_another_program_still_takes_pictures():
    stream = io.BytesIO()
    docx.Document(io.BytesIO(template("{{ value }}"))).save(stream)
    made = pour("cover", stream.getvalue(), {**ROWS, "value": Image(photo(), "jpg", 40, 25, "words")})
    assert len(docx.Document(io.BytesIO(made)).inline_shapes) == 1
    assert b'Extension="jpg"' in unpacked(made)["[Content_Types].xml"]


def test_a_picture_is_stored_once_with_its_words_and_its_own_number():
    picture = Image(photo(), "jpg", 40, 25, 'A "point" & its <cable>')
    made = unpacked(pour("cover", template("{{ value }}{{ value }}"), {**ROWS, "value": picture}))
    assert [name for name in made if "media" in name] == ["word/media/image1.jpg"]
    text = made["word/document.xml"].decode()
    assert text.count('r:embed="rIdImage1"') == 2
    assert "'A \"point\" &amp; its &lt;cable&gt;'" in text
    assert 'docPr id="1"' in text
    assert 'docPr id="2"' in text
    assert b'Id="rIdImage1"' in made["word/_rels/document.xml.rels"]


def test_the_firms_colour_replaces_the_accent_of_the_styles():
    made = unpacked(pour("cover", template("x"), ROWS, "AA0000"))
    assert b"AA0000" in made["word/styles.xml"]
    assert ACCENT.encode() not in made["word/styles.xml"]


def test_the_mark_of_a_draft_needs_no_help_from_the_template():
    made = unpacked(pour("cover", template("x"), ROWS, mark="DRAFT & no more"))
    assert "DRAFT &amp; no more</w:t></w:r></w:p></w:hdr>" in made["word/header1.xml"].decode()


def test_a_template_without_a_header_gives_no_draft():
    parts = unpacked(template("x"))
    bare = packed({name: content for name, content in parts.items() if "header" not in name})
    with pytest.raises(MachineError, match="no header"):
        pour("cover", bare, ROWS, mark="DRAFT")
