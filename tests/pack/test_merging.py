import io
import shutil
import subprocess

import pikepdf
import pypdf
import pytest

from pipeline.errors import MachineError
from pipeline.pack.merging import Part, merged, sources
from tests.pack.samples import OFFICE, converted, sample_pack

pytestmark = OFFICE


@pytest.fixture
def pack():
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        yield pdf


def elements(element):
    yield element
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield from elements(kid)


def test_each_document_is_a_part_with_its_title(pack):
    document = pack.Root.StructTreeRoot.K
    assert document.S == "/Document"
    assert [(str(part.S), str(part.T)) for part in document.K] == [
        ("/Part", "Certificate"),
        ("/Part", "Schedule"),
        ("/Part", "Broken"),
    ]


def marks(element):
    """The marked content that hangs on an element itself: page and number."""
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, int):
            yield element.Pg.objgen, kid
        elif "/MCID" in kid:
            yield kid.get("/Pg", element.get("/Pg")).objgen, int(kid.MCID)


def test_the_tags_reach_every_page(pack):
    tagged = {page for element in elements(pack.Root.StructTreeRoot.K) for page, _ in marks(element)}
    assert tagged == {page.obj.objgen for page in pack.pages}


def test_every_page_finds_its_elements_through_the_parent_tree(pack):
    tree = pikepdf.NumberTree(pack.Root.StructTreeRoot.ParentTree)
    numbers = [int(page.obj.StructParents) for page in pack.pages]
    assert len(set(numbers)) == len(pack.pages)
    for page, number in zip(pack.pages, numbers, strict=True):
        for mark, element in enumerate(tree[number]):
            assert (page.obj.objgen, mark) in list(marks(element))
    assert pack.Root.StructTreeRoot.ParentTreeNextKey > max(tree)


def test_no_role_stands_for_itself(pack):
    roles = pack.Root.StructTreeRoot.RoleMap
    assert roles.Standard == "/P"
    assert all(name != str(role) for name, role in roles.items())


def test_the_outline_has_the_documents_and_their_headings_below():
    reader = pypdf.PdfReader(io.BytesIO(sample_pack()))
    outline = reader.outline
    tops = [item for item in outline if not isinstance(item, list)]
    assert [item.title for item in tops] == ["Certificate", "Schedule", "Broken"]
    below = outline[1][0]
    assert below.title == "Certificate"
    assert reader.get_destination_page_number(tops[1]) == 2


def test_the_catalogue_tells_language_tags_title_bar_and_page_labels(pack):
    root = pack.Root
    assert root.Lang == "en-GB"
    assert root.MarkInfo.Marked
    assert root.ViewerPreferences.DisplayDocTitle
    assert len(root.OutputIntents) == 1
    assert {str(page.obj.Tabs) for page in pack.pages} == {"/S"}
    assert [page.label for page in pack.pages][:3] == ["1", "2", "3"]
    assert not {"/OpenAction", "/AA", "/AcroForm"} & set(root.keys())


def test_wide_pages_stay_wide(pack):
    sizes = [(page.mediabox[2], page.mediabox[3]) for page in pack.pages]
    assert any(width > height for width, height in sizes)
    assert any(width < height for width, height in sizes)


def test_a_document_without_tags_is_refused():
    with pikepdf.open(io.BytesIO(converted()["certificate"])) as pdf:
        del pdf.Root.StructTreeRoot
        bare = io.BytesIO()
        pdf.save(bare)
    with (
        sources({"bare": bare.getvalue()}) as given,
        pytest.raises(MachineError, match="no tags"),
        merged([Part("Bare", given["bare"])], "en-GB"),
    ):
        pass


def test_a_style_with_two_meanings_is_refused():
    with pikepdf.open(io.BytesIO(converted()["certificate"])) as pdf:
        pdf.Root.StructTreeRoot.RoleMap.Standard = pikepdf.Name.H1
        other = io.BytesIO()
        pdf.save(other)
    with sources({"First": converted()["certificate"], "Second": other.getvalue()}) as given:
        parts = [Part(title, each) for title, each in given.items()]
        with pytest.raises(MachineError, match="Standard of Second"), merged(parts, "en-GB"):
            pass


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="qpdf is not installed")
def test_qpdf_finds_nothing_wrong(tmp_path):
    (tmp_path / "pack.pdf").write_bytes(sample_pack())
    done = subprocess.run(["qpdf", "--check", tmp_path / "pack.pdf"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
