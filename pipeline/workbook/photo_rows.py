"""The rows of the sheet Photos against the files in the photo folder."""

from collections import defaultdict
from collections.abc import Iterator

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.rows.firm import Firm
from pipeline.facts.rows.inspections import Photo
from pipeline.facts.sheets import BY_ROW
from pipeline.workbook.parsed import visible
from pipeline.workbook.photos import NO_FOLDER, PhotoFolder, said
from pipeline.workbook.typist import TypedRow, subject_of

FOLDER_RULE = "photos_lie_beside_the_workbook"


def look_at_photos(typed: list[TypedRow], folder: PhotoFolder) -> tuple[dict[str, str], list[Finding]]:
    """SHA-256 of each usable photo or logo by its name; findings on the others, on twins, and on files nobody names."""
    named = [(each, each.row.file) for each in typed if each.job and isinstance(each.row, Photo) and each.row.file]
    sums: dict[str, str] = {}
    findings: list[Finding] = []
    users: dict[str, list[TypedRow]] = defaultdict(list)
    logos = [each for each in typed if isinstance(each.row, Firm) and each.row.logo]
    # rows of a mistyped job are told as such, and not once more by their photos
    files = {each.row.file for each in typed if isinstance(each.row, Photo) and each.row.file}
    folder.named = frozenset(files) | {each.row.shown("logo") for each in logos}
    homeless: dict[str, list[TypedRow]] = defaultdict(list)
    for each, file in named:
        total, trouble = folder.look(file)
        if trouble == NO_FOLDER:
            homeless[each.job or ""].append(each)
        elif total is None:
            findings.append(_bad_photo(each, said(file, trouble)))
        else:
            sums[file] = total
            users[total].append(each)
    findings += [_without_folder(job, rows) for job, rows in homeless.items()]
    for rows in users.values():
        findings += _shared_photo(rows)
    for each in logos:
        file = each.row.shown("logo")
        total, trouble = folder.look(file)
        if total is None:
            findings.append(_bad_logo(each, said(file, trouble)))
        else:
            sums[file] = total
    return sums, findings + _orphans(folder.unnamed())


def _bad_logo(each: TypedRow, message: str) -> Finding:
    """A logo that cannot be printed; the packs are made without it."""
    return Finding(
        rule="logo_can_be_used",
        verdict=Verdict.NOTE,
        job="",
        subject=subject_of(BY_ROW[Firm], each.row, each.number),
        message=f"{message.replace('Photo', 'Logo', 1)} The packs are made without it.",
        places=each.row.where("logo"),
        found=each.row.typed.get("logo", ""),
        expected="a whole .jpg or .png in the folder 'photos' beside the workbook",
        remedy="Put the logo into the folder 'photos', or mend its name.",
        scope=Scope.CELL,
    )


def _without_folder(job: str, rows: list[TypedRow]) -> Finding:
    """All photos of a job are missing for one reason."""
    return Finding(
        rule=FOLDER_RULE,
        verdict=Verdict.FAIL,
        job=job,
        subject="Photos",
        message="There is no folder 'photos' beside the workbook.",
        places=tuple(place for each in rows for place in each.row.where("file")),
        found="no folder 'photos'",
        expected="the photos that the sheet Photos names, in a folder 'photos' beside the workbook",
        remedy="Put the folder there, or the workbook back to where its folder is.",
        scope=Scope.CELL,
    )


def _bad_photo(each: TypedRow, message: str) -> Finding:
    """A photo that cannot go into a pack."""
    return Finding(
        rule="photo_can_be_used",
        verdict=Verdict.FAIL,
        job=each.job or "",
        subject=subject_of(BY_ROW[Photo], each.row, each.number),
        message=message,
        places=each.row.where("file"),
        found=each.row.typed.get("file", ""),
        expected="the name of a whole .jpg or .png in the folder 'photos' beside the workbook",
        remedy="Put the photo into the folder 'photos', or mend its name here to the letter.",
        scope=Scope.CELL,
    )


def _shared_photo(rows: list[TypedRow]) -> Iterator[Finding]:
    """The same picture as evidence for two jobs, or under two names in one."""
    if len({each.job for each in rows}) == 1:
        yield from _twice_in_a_job(rows)
        return
    for each in rows:
        yield Finding(
            rule="photo_is_of_one_job",
            verdict=Verdict.QUERY,
            job=each.job or "",
            subject=f"Photo {each.row.shown('file')}",
            message="The same photo is evidence of several jobs of this week.",
            places=each.row.where("file"),
            found=", ".join(sorted({other.job or "" for other in rows})),
            expected="a photo of this job",
            remedy="Name the photo that was taken at this site.",
            scope=Scope.WEEK,
        )


def _twice_in_a_job(rows: list[TypedRow]) -> Iterator[Finding]:
    """One picture under two names; a name that stands twice is told with the rows of the sheet."""
    names = sorted({each.row.shown("file") for each in rows})
    if len(names) > 1:
        yield Finding(
            rule="photo_shows_something_of_its_own",
            verdict=Verdict.QUERY,
            job=rows[0].job or "",
            subject=f"Photo {names[0]}",
            message="The same picture stands in the job under several names.",
            places=tuple(place for each in rows for place in each.row.where("file")),
            found=", ".join(names),
            expected="a picture of its own for each row",
            remedy="Name the photo that was meant, or delete the row.",
            scope=Scope.CELL,
        )


def _files(count: int) -> str:
    """So many files lie there."""
    return "There is 1 file" if count == 1 else f"There are {count} files"


def _orphans(names: list[str]) -> list[Finding]:
    """Files in the photo folder that no row names."""
    if not names:
        return []
    return [
        Finding(
            rule="photo_is_named",
            verdict=Verdict.NOTE,
            job="",
            subject="Photos",
            message=f"{_files(len(names))} in the folder 'photos' that no row of the sheet Photos names.",
            places=(Place("Photos"),),
            found=", ".join(map(visible, names)),
            expected="a row on the sheet Photos for each photo of a job",
            remedy="Add a row for each photo that belongs to a job. The others go into no pack and may stay.",
            scope=Scope.CELL,
        )
    ]
