"""A firm's own templates: unproved they give drafts only, proved ones packs, changed ones drafts again."""

import json

import pytest

from pipeline import cli, proving
from pipeline.documents.package import packed, unpacked
from pipeline.documents.templates import templates
from pipeline.errors import ExitCode, MachineError
from pipeline.progress import silent

BODY = "word/document.xml"


@pytest.fixture
def own(tmp_path):
    folder = tmp_path / "own"
    folder.mkdir()
    parts = unpacked(templates()["cover"])
    words = parts[BODY].replace(b">What was done<", b">Our work for you<")
    assert words != parts[BODY]
    (folder / "cover.docx").write_bytes(packed(parts | {BODY: words}))
    return folder


def test_a_folder_without_templates_is_told(tmp_path):
    with pytest.raises(MachineError, match="no Word template"):
        proving.prove(tmp_path, silent)


def test_a_copy_at_fault_is_named_and_not_proved(own, capsys):
    content = (own / "cover.docx").read_bytes()
    parts = unpacked(content)
    (own / "cover.docx").write_bytes(packed(parts | {BODY: parts[BODY].replace(b"job.site", b"job.sight")}))
    assert cli.main(["templates", str(own)]) == ExitCode.HELD
    assert "cover.docx: table 2, row 1, cell 2: {{ job.sight }} names no field" in capsys.readouterr().out
    assert proving.unproved(own)


def test_a_template_counts_as_proved_only_as_it_is_and_beside_the_supplied_ones_as_they_are(own):
    assert proving.unproved(own)
    noted = proving._proof(own)
    (own / proving.PROOF).write_text(json.dumps(noted))
    assert proving.unproved(own) is None
    (own / proving.PROOF).write_text(json.dumps({**noted, "supplied": "other"}))
    assert proving.unproved(own)
    (own / proving.PROOF).write_text(json.dumps(noted))
    (own / "photos.docx").write_bytes(templates()["photos"])
    assert proving.unproved(own)
    (own / proving.PROOF).write_text("no JSON")
    assert proving.unproved(own)


def test_templates_are_written_by_the_command(tmp_path, capsys):
    assert cli.main(["templates", "--write", str(tmp_path)]) == ExitCode.OK
    assert (tmp_path / "en" / "cover.docx").read_bytes() == templates()["cover"]
    assert cli.main(["templates"]) == ExitCode.UNREADABLE
    assert "--write" in capsys.readouterr().err


@pytest.mark.long
def test_a_good_copy_is_proved_on_every_document_and_a_page_that_hides_a_value_is_not(own, capsys):
    assert cli.main(["templates", str(own)]) == ExitCode.OK, capsys.readouterr()
    assert proving.unproved(own) is None
    parts = unpacked((own / "cover.docx").read_bytes())
    hidden = parts[BODY].replace(
        b'<w:r><w:t xml:space="preserve">{{ job.site }}',
        b'<w:r><w:rPr><w:vanish/></w:rPr><w:t xml:space="preserve">{{ job.site }}',
    )
    assert hidden != parts[BODY]
    (own / "cover.docx").write_bytes(packed(parts | {BODY: hidden}))
    assert cli.main(["templates", str(own)]) == ExitCode.HELD
    assert "Site address" in capsys.readouterr().out
    assert proving.unproved(own)


def test_unproved_templates_give_drafts_only_and_open_no_register(own, tmp_path, monkeypatch):
    from pipeline import run
    from pipeline.demo.__main__ import write_demo
    from pipeline.demo.week import TODAY
    from pipeline.tools import libreoffice

    class Idle:
        """Stands in for the converter; nothing is converted here."""

        def __enter__(self):
            return self

        def __exit__(self, *_):
            return None

    asked = []
    monkeypatch.setattr(run, "need_machine", lambda: None)
    monkeypatch.setattr(libreoffice, "Office", Idle)
    monkeypatch.setattr(run, "make_drafts", lambda *given: asked.append(given) or (("draft",), ()))
    workbook = write_demo(tmp_path / "inputs")
    done = run.build(run.Options(workbook, tmp_path / "out", templates=own, as_of=TODAY), silent)
    assert done.drafts == ("draft",)
    assert "handover templates" in done.machine_trouble.remedy
    assert not (tmp_path / "out" / "register.sqlite").exists()
    assert len(asked) == 1
