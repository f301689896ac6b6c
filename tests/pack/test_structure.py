import io

import pikepdf
import pytest

from pipeline.pack.structure import destination_problems, structure_problems
from tests.pack.samples import OFFICE, sample_pack

pytestmark = OFFICE


@pytest.fixture
def pack():
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        yield pdf


def test_every_page_of_a_pack_is_covered_by_tags_and_every_bookmark_leads_somewhere(pack):
    assert list(structure_problems(pack)) == []
    assert list(destination_problems(pack)) == []


def test_a_page_without_tags_is_named(pack):
    del pack.pages[1].obj.StructParents
    assert list(structure_problems(pack)) == ["Page 2 is not covered by the tags."]


def test_a_page_whose_tags_hang_on_nothing_is_named(pack):
    number = int(pack.pages[0].obj.StructParents)
    for owner in pikepdf.NumberTree(pack.Root.StructTreeRoot.ParentTree)[number]:
        owner.P = pikepdf.Dictionary()
    assert "Page 1 is not covered by the tags." in list(structure_problems(pack))


def test_a_file_without_tags_is_named(pack):
    del pack.Root.StructTreeRoot
    assert list(structure_problems(pack)) == ["The file has no tags."]


def test_a_bookmark_and_a_link_to_nowhere_are_named(pack):
    nowhere = pack.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.Page))
    with pack.open_outline() as outline:
        outline.root[0].destination = pikepdf.Array([nowhere, pikepdf.Name.Fit])
        title = outline.root[0].title
    link = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link, Dest=[nowhere, pikepdf.Name.Fit])
    pack.pages[0].obj.Annots = pikepdf.Array([link])
    assert list(destination_problems(pack)) == [
        f"The bookmark {title} leads to no page.",
        "A link on page 1 leads to no page.",
    ]


def test_a_pack_without_bookmarks_is_named(pack):
    with pack.open_outline() as outline:
        outline.root.clear()
    assert list(destination_problems(pack)) == ["The file has no bookmarks."]
