"""What a clumsy, a clever and a very clever hand would do to an archive."""

import hashlib
import io
import json
import os
import sqlite3

import bagit
import pikepdf

from pipeline.audit.ledger import link_of
from pipeline.audit.results import Pack
from pipeline.facts.record import canonical
from pipeline.pack.attachments import RECORD, WORKBOOK
from pipeline.stages.order import workbook_rows


def flip(path, place, bit=0):
    """One bit of a file the other way."""
    content = bytearray(path.read_bytes())
    content[place] ^= 1 << bit
    path.write_bytes(bytes(content))


def saved(pdf):
    """A PDF as bytes, written as the program writes."""
    target = io.BytesIO()
    pdf.save(target, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return target.getvalue()


def reattached(pack, files):
    """A pack with other attachments, their size and sum made anew."""
    with pikepdf.open(io.BytesIO(pack)) as pdf:
        names = dict(pikepdf.NameTree(pdf.Root.Names.EmbeddedFiles).items())
        for name, content in files.items():
            stream = names[name].EF.F
            stream.write(content)
            stream.Params.Size = len(content)
            stream.Params.CheckSum = pikepdf.String(hashlib.md5(content, usedforsecurity=False).digest())
        return saved(pdf)


def with_reading(record, zs):
    """A record in which the first reading of Zs is another, typed, shown and as a number."""
    changed = json.loads(record)
    cell = next(each["zs"] for each in changed["job"]["readings"] if "Ω" in each["zs"])
    cell |= {"typed": zs, "shown": zs, "Ω": float(zs)}
    return canonical(changed)


def move_reading(bag, zs):
    """A reading moved in record, attachments and bag, every sum made anew."""
    [record] = (bag / "data").glob("*-record.json")
    [pack] = (bag / "data").glob("*-handover-pack.pdf")
    changed = with_reading(record.read_bytes(), zs)
    record.write_bytes(changed)
    files = {RECORD: changed, WORKBOOK: workbook_rows(json.loads(changed))}
    pack.write_bytes(reattached(pack.read_bytes(), files))
    bagit.Bag(str(bag)).save(manifests=True)
    assert bagit.Bag(str(bag)).validate()


def open_register(path):
    """A register with its guards taken out."""
    database = sqlite3.connect(path)
    database.executescript("DROP TRIGGER entries_stay; DROP TRIGGER entries_last;")
    return database


def close_register(database):
    """The guards put back, as if nothing had happened."""
    database.executescript(
        "CREATE TRIGGER entries_stay BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'no'); END;"
        "CREATE TRIGGER entries_last BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'no'); END;"
    )
    database.close()


def edit(path, seq, column, value, *, chain=0):
    """One value of one entry by hand; then the sums of `chain` entries from it on are made anew, -1 for all."""
    database = open_register(path)
    database.execute(f"UPDATE entries SET {column} = ? WHERE seq = ?", (value, seq))
    database.row_factory = sqlite3.Row
    entries = [dict(row) for row in database.execute("SELECT * FROM entries WHERE seq >= ? ORDER BY seq", (seq,))]
    previous = entries[0]["prev"]
    for entry in entries if chain < 0 else entries[:chain]:
        old = entry.pop("sha")
        entry["prev"] = previous
        previous = link_of(entry)
        database.execute("UPDATE entries SET prev = ?, sha = ? WHERE sha = ?", (entry["prev"], previous, old))
    database.commit()
    close_register(database)


def cut(path, count):
    """The last entries gone."""
    database = open_register(path)
    for table in ("personal", "entries"):
        last = database.execute("SELECT max(seq) FROM entries").fetchone()[0]
        database.execute(f"DELETE FROM {table} WHERE seq > ?", (last - count,))
    database.commit()
    close_register(database)


def deadly(task):
    """Reads one pack and dies of the other."""
    if "0001-1" in task.where:
        os._exit(9)
    return Pack("read", task.where)
