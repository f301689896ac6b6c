"""A command line that was typed wrongly: said in plain words, with what to do, and exit code 2."""

import pytest

from pipeline import cli
from pipeline.errors import ExitCode


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ([], "Say what to do, as in: handover build week-48.xlsx"),
        (["biuld", "week.xlsx"], "There is no command 'biuld'. Did you mean 'build'?"),
        (["frobnicate"], "There is no command 'frobnicate'. There are: build, check"),
        (["build", "--nope"], "The command has no option --nope."),
        (["build", "a.xlsx", "b.xlsx"], "'b.xlsx' is one thing too many"),
        (["build", "--out"], "Nothing stands behind --out."),
        (["release", "0001-1"], "Something is missing: --by, --on."),
        (["watch", "inputs", "--every", "often"], "--every needs a number, and 'often' is none."),
        (["send", "--to", "bob"], "--to cannot be 'bob'. There are: client, network operator, building control."),
    ],
)
def test_what_was_typed_wrongly_is_told_in_plain_words(typed, told, capsys):
    with pytest.raises(SystemExit) as ended:
        cli.main(typed)
    assert ended.value.code == ExitCode.UNREADABLE
    said = capsys.readouterr().err
    assert told in said
    assert "argument" not in said
    assert "--help" in said.splitlines()[-1]
