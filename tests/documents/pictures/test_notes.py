from pipeline.documents.pictures.lettering import fits
from pipeline.documents.pictures.notes import HEIGHT, WIDTH, Notes
from tests.documents.pictures.plant import letters_of, texts_of


def test_a_text_that_fits_stays_and_leaves_no_note() -> None:
    notes = Notes()
    assert notes.fit("Hall cupboard", 60) == "Hall cupboard"
    assert notes.lines("Hall cupboard", 60, 1) == ["Hall cupboard"]
    assert notes.pictures("Names in full") == []


def test_a_long_text_is_cut_with_a_number_and_stands_whole_under_it() -> None:
    notes, long = Notes(), "Cupboard behind the coats & boots <left> " * 4
    short = notes.fit(long.strip(), 40)
    assert short.endswith("…[1]")
    whole = texts_of(notes.pictures("Names in full"))
    assert f"[1] {long.strip()}" in whole


def test_the_same_text_has_one_number_and_others_have_their_own() -> None:
    notes = Notes()
    found = [notes.fit(text * 30, 40)[-3:] for text in ("alpha ", "beta ", "alpha ")]
    assert found == ["[1]", "[2]", "[1]"]


def test_of_several_lines_only_the_last_is_cut() -> None:
    lines = Notes().lines("one two three four five six seven eight nine ten", 15, 2)
    assert len(lines) == 2
    assert lines[1].endswith("…[1]")
    assert all(fits(each, 15) for each in lines)


def test_many_whole_texts_take_several_pictures_of_which_none_is_too_large() -> None:
    notes = Notes()
    for number in range(90):
        notes.fit(f"{number} " + "W" * 300, 40)
    pictures = notes.pictures("Names in full")
    assert len(pictures) > 2
    assert all(each.height_mm <= HEIGHT for each in pictures)
    assert all(each.right <= WIDTH for picture in pictures for each in letters_of(picture))
