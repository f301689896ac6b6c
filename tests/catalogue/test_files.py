"""Files that are no workbook are refused in one sentence, and the habits of other programs are not."""

import pytest

from pipeline.errors import WorkbookRefusedError
from tests.catalogue import files, more_files
from tests.catalogue.entry import ACCEPTED, REFUSED
from tests.catalogue.week import added


@pytest.mark.parametrize("entry", [pytest.param(each, id=each.name) for each in (*files.ENTRIES, *more_files.ENTRIES)])
def test_a_file_is_refused_in_one_sentence_or_read_like_the_sound_one(entry):
    content = entry.make()
    if entry.verdict != REFUSED:
        news, held = added(content)
        assert ([f"{place} {rule} {verdict}".strip() for place, rule, verdict in news], held) == (
            list(entry.adds),
            [],
        )
        assert bool(news) == (entry.verdict != ACCEPTED)
        return
    with pytest.raises(WorkbookRefusedError) as refusal:
        added(content)
    message = refusal.value.message
    assert entry.word.lower() in message.lower()
    assert message.endswith((".", "?"))
    assert len(message) < 240
    assert "hostname" not in message
