import pytest

from pipeline.errors import ExitCode, MachineError
from pipeline.tools import fonts, program


@pytest.mark.parametrize(
    ("system", "command"), [("debian", "apt-get"), ("fedora", "dnf"), ("darwin", "brew"), ("win32", "winget")]
)
def test_a_machine_without_libreoffice_is_told_how_to_get_it(monkeypatch, system, command):
    monkeypatch.setattr(program, "_places", lambda: iter(()))
    monkeypatch.setattr(program, "system", lambda: system)
    with pytest.raises(MachineError) as told:
        program.find_program()
    assert command in told.value.remedy
    assert told.value.exit_code is ExitCode.MACHINE


def test_a_program_that_does_not_start_is_reported(tmp_path):
    broken = tmp_path / "soffice.bin"
    broken.write_text("no program")
    broken.chmod(0o755)
    with pytest.raises(MachineError, match="does not start"):
        program.program_version(broken)


def test_the_launcher_on_the_path_leads_to_the_program_itself(monkeypatch, tmp_path):
    for name in ("soffice", "soffice.bin"):
        (tmp_path / name).write_text("#!/bin/sh\n")
        (tmp_path / name).chmod(0o755)
    monkeypatch.setattr(program.shutil, "which", lambda name: str(tmp_path / "soffice") if name == "soffice" else None)
    assert program.find_program() == tmp_path / "soffice.bin"


def test_the_machine_check_names_program_and_fonts(monkeypatch):
    monkeypatch.setattr(program, "_places", lambda: iter(()))
    monkeypatch.setattr(program, "missing_fonts", lambda: ["Liberation Sans Bold"])
    lines = program.check_machine()
    assert len(lines) == 2
    assert "Liberation Sans Bold" in lines[0]
    assert "LibreOffice" in lines[1]


def test_the_command_line_asks_for_tagged_pdf_a_3(tmp_path):
    words = program.command(tmp_path / "soffice.bin", tmp_path / "profile", [tmp_path / "0000.docx"], tmp_path / "pdf")
    line = " ".join(words)
    assert '"SelectPdfVersion":{"type":"long","value":"3"}' in line
    assert '"UseTaggedPDF":{"type":"boolean","value":"true"}' in line
    assert "PDFUACompliance" not in line
    assert "--infilter=MS Word 2007 XML" in words


def test_a_missing_font_is_named_with_its_command(monkeypatch):
    monkeypatch.setattr(fonts, "_file", lambda _: None)
    fonts.regular.cache_clear()
    assert fonts.missing_fonts() == [f"Liberation Sans {style}" for style in fonts.STYLES]
    with pytest.raises(MachineError, match="Liberation Sans"):
        fonts.regular()
    fonts.regular.cache_clear()


def test_a_font_outside_the_known_folders_is_asked_of_fontconfig(monkeypatch):
    if fonts._asked_of_fontconfig("Regular") is None:
        pytest.skip("no fontconfig, or no such font")
    monkeypatch.setattr(fonts, "_folders", lambda: iter(()))
    assert fonts._file("Regular").name.startswith("LiberationSans-Regular")
    assert fonts._asked_of_fontconfig("Regular").is_file()
