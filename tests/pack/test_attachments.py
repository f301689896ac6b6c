import hashlib
import io

import pikepdf
import pypdf

from tests.pack.samples import OFFICE, RECORD, SAMPLES, sample_pack

pytestmark = OFFICE


def test_another_reader_gets_every_file_back_unchanged():
    attached = pypdf.PdfReader(io.BytesIO(sample_pack())).attachments
    assert attached["record.json"] == [RECORD]
    assert attached["workbook.xlsx"] == [b"rows as typed"]
    for name in ("certificate", "schedule", "broken"):
        assert attached[f"{name}.docx"] == [SAMPLES[name]]


def test_each_file_tells_type_relationship_size_and_sum():
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        files = {str(each.UF): each for each in pdf.Root.AF}
        assert next(iter(files)) == "record.json"
        kinds = {name: (str(each.AFRelationship), str(each.EF.F.Subtype)) for name, each in files.items()}
        assert kinds["record.json"] == ("/Data", "/application/json")
        assert kinds["workbook.xlsx"][0] == kinds["schedule.docx"][0] == "/Source"
        for each in files.values():
            content, listed = each.EF.F.read_bytes(), each.EF.F.Params
            assert listed.Size == len(content)
            assert bytes(listed.CheckSum) == hashlib.md5(content, usedforsecurity=False).digest()
            assert each.F == each.UF
            assert str(each.Desc)


def test_every_associated_file_is_listed_by_name():
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        named = pikepdf.NameTree(pdf.Root.Names.EmbeddedFiles)
        assert sorted(named) == list(named)
        assert {each.objgen for each in named.values()} == {each.objgen for each in pdf.Root.AF}
