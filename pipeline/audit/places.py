"""What lies where: the paths an auditor gives become registers, bags, packs for daily use, and loose PDFs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.errors import CommandError

REGISTER, ARCHIVE, PACKS = "register.sqlite", "archive", "packs"
BAG = "bagit.txt"
# scratch and papers that prove nothing: named here, so that their files are not taken for packs
ASIDE = frozenset({".work", "drafts", "held", "sitesheets", "mail"})


@dataclass(slots=True)
class Holding:
    """What belongs together: at most one register, the bags, copies of their payload, and PDFs by themselves.

    `whole` says that an archive was given, so that a pack which is not in it is missing.
    """

    register: Path | None = None
    bags: list[Path] = field(default_factory=list)
    copies: list[Path] = field(default_factory=list)
    loose: list[Path] = field(default_factory=list)
    whole: bool = False


def holdings(paths: Sequence[Path]) -> list[Holding]:
    """What the given paths hold; raises CommandError for a path that is not there or holds nothing to verify.

    Bags and PDFs without a register of their own go to the one register that was given, if it is one.
    """
    found: list[Holding] = []
    rest = Holding()
    for path in paths:
        if not path.exists():
            raise CommandError(f"There is nothing at {path}.", "Check the path, and that the disk is connected.")
        _look(path, found, rest)
    if rest.bags or rest.loose:
        if len(found) == 1:
            only = found[0]
            only.bags += rest.bags
            only.loose += rest.loose
            only.whole |= rest.whole
        else:
            found.append(rest)
    if not found:
        told = ", ".join(str(each) for each in paths)
        raise CommandError(
            f"There is nothing to verify in {told}.", "Give a pack, a bag, an archive or an outputs folder."
        )
    return found


def _look(path: Path, found: list[Holding], rest: Holding) -> None:
    """Sort one path into holdings of their own or into the rest."""
    if path.is_file():
        if path.suffix.lower() == ".sqlite":
            found.append(Holding(register=path))
        else:
            rest.loose.append(path)
        return
    if (path / BAG).exists():
        rest.bags.append(path)
        return
    if (path / REGISTER).exists():
        found.append(_outputs(path))
        return
    rest.whole |= path.name == ARCHIVE
    for each in _inside(path):
        if each.is_dir() or each.suffix.lower() == ".pdf":
            _look(each, found, rest)


def _outputs(folder: Path) -> Holding:
    """An outputs folder with its register; what is missing from its archive is told later."""
    bags = list(_inside(folder / ARCHIVE))
    return Holding(folder / REGISTER, bags, [each for each in _inside(folder / PACKS) if each.is_dir()], whole=True)


def _inside(folder: Path) -> Iterator[Path]:
    """What is in a folder, in a fixed order; links are not followed."""
    if folder.is_dir():
        yield from (each for each in sorted(folder.iterdir()) if each.name not in ASIDE and not each.is_symlink())
