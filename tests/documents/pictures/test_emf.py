import io
import struct

from PIL import Image

from pipeline.documents.pictures import Picture, notice_symbol, single_line_diagram
from tests.documents.pictures.plant import garage, records_of


def drawn() -> Picture:
    return single_line_diagram(garage())[0]


def test_the_header_counts_the_bytes_records_and_objects_of_the_file() -> None:
    records = records_of(drawn().data)
    size, count, handles = struct.unpack_from("<IIH", records[0][1], 40)
    made = {struct.unpack_from("<I", body)[0] for kind, body in records if kind in {39, 82, 95}}
    assert (size, count, handles) == (len(drawn().data), len(records), len(made) + 1)


def test_a_reader_of_others_takes_it_for_a_metafile_of_that_size() -> None:
    with Image.open(io.BytesIO(notice_symbol("warning", 26).data)) as seen:
        assert (seen.format, seen.size) == ("WMF", (2600, 2600))  # one name for both kinds


def test_it_begins_with_a_header_and_ends_with_an_end_and_every_record_fills_four_bytes() -> None:
    records = records_of(drawn().data)
    assert (records[0][0], records[-1][0]) == (1, 14)
    assert all(len(body) % 4 == 0 for _, body in records)


def test_only_objects_that_were_made_are_selected() -> None:
    made: set[int] = set()
    for kind, body in records_of(drawn().data):
        handle = struct.unpack_from("<I", body)[0] if body else 0
        if kind in {39, 82, 95}:
            assert handle not in made
            made.add(handle)
        if kind == 37 and handle < 0x80000000:
            assert handle in made
