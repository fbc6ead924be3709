"""Hostile files: read correctly or refused in one sentence, within 2 s and 300 MB.

Every file is read in a child process that reports what came of it, the processor time it took and
the most memory that was ever in use.
"""

import json
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import openpyxl
import pytest

SECONDS, MEGABYTES = 2.0, 300
HEAD = ["job", "stage", "feature", "number", "quantity", "value", "unit", "note"]
ROW = ["1042", "as received", "bore", 1, "diameter", 86.012, "mm", "worn"]
SHEET = "xl/worksheets/sheet1.xml"
READER = []

CHILD = """
import json, sys, time
import openpyxl
import enginewright as ew

def peak():
    # Not ru_maxrss: that starts at what the parent held when it forked.
    with open("/proc/self/status") as status:
        return next(int(line.split()[1]) for line in status if line.startswith("VmHWM")) / 1024

for line in sys.stdin:
    path = json.loads(line)
    start = time.process_time()
    try:
        read = ew.sheets.read(path)
    except ew.SheetError as refused:
        told = {"refused": str(refused)}
    else:
        total = read.account.total
        told = {
            "readings": len(read.readings),
            "rows": sum(total.rows.values()),
            "cells": sum(total.cells.values()),
            "problems": [[p.place, p.code] for p in read.problems],
            "notes": [v for v in read.readings["note"].values if v] if len(read.readings) else [],
        }
    told["seconds"] = time.process_time() - start
    told["megabytes"] = peak()
    print(json.dumps(told), flush=True)
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Where the hostile files are made."""
    return tmp_path_factory.mktemp("hostile")


@pytest.fixture(scope="module", autouse=True)
def reader():
    """The child process that reads the files, one after the other."""
    child = subprocess.Popen(
        [sys.executable, "-c", CHILD], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    READER.append(child)
    yield
    READER.remove(child)
    child.stdin.close()
    assert child.wait(60) == 0
    child.stdout.close()


def outcomes(*paths):
    """What the child made of some files, each within its time and memory."""
    (child,) = READER
    found = []
    for path in paths:
        child.stdin.write(json.dumps(str(path)) + "\n")
        child.stdin.flush()
        told = json.loads(child.stdout.readline() or '{"refused": "the reader died"}')
        assert told["seconds"] < SECONDS, (path, told)
        assert told["megabytes"] < MEGABYTES, (path, told)
        found.append(told)
    return found


def refusal(path):
    """The one sentence that a file is refused with."""
    (told,) = outcomes(path)
    assert "refused" in told, told
    assert told["refused"].startswith((Path(path).name, str(path)))
    assert "\n" not in told["refused"]
    return told["refused"].partition(": ")[2]


def good_workbook(folder, name="good.xlsx", rows=(ROW,)):
    """A workbook that reads well."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Block"
    for row in (HEAD, *rows):
        sheet.append(row)
    path = folder / name
    book.save(path)
    return path


def changed(path, name, edits=(), extra=(), compression=zipfile.ZIP_DEFLATED):
    """A copy of a workbook with parts edited or added."""
    target = path.with_name(name)
    edits = dict(edits)
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(target, "w", compression) as copy:
        for entry in source.namelist():
            data = source.read(entry)
            copy.writestr(entry, edits[entry](data) if entry in edits else data)
        for entry, data in extra:
            copy.writestr(entry, data)
    return target


class TestWhatIsNoSpreadsheet:
    @pytest.mark.parametrize(
        ("content", "told"),
        [
            (b"", "holds no bytes"),
            (b"\x89PNG\r\n\x1a\n" + bytes(100), "is a picture, not a spreadsheet"),
            (b"\xff\xd8\xff\xe0" + bytes(100), "is a picture, not a spreadsheet"),
            (b"%PDF-1.7\n" + bytes(100), "is a PDF, not a spreadsheet"),
            (b"\x1f\x8b\x08" + bytes(100), "is a compressed file, not a spreadsheet"),
            (b"PK\x05\x06" + bytes(18), "is an empty or cut-off package"),
            (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "is an old workbook (.xls)"),
            (
                b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
                "is encrypted; save it without a password",
            ),
            (bytes(range(256)) * 40, "is not a text file"),
            (b"job,stage\x00,feature\n", "is not a text file"),
            (b"\x01\x02\x03\x04" * 100, "is not a text file"),
            (b"   \n \n", "holds nothing but blanks"),
            (b"\xff\xfej\x00o\x00b", "begins as UTF-16, but byte"),
            (b"\xff\xfe\x00\x00j\x00\x00\x00", "is not a text file"),
            (b"caf\xe9\x81;\xff\x9d\n", "is neither UTF-8"),
        ],
    )
    def test_it_is_refused_by_its_content(self, folder, content, told):
        path = folder / "thing.xlsx"
        path.write_bytes(content)
        assert refusal(path).startswith(told)

    def test_random_bytes_never_pass_for_readings(self, folder):
        import random

        noise = random.Random(20260302)
        paths = []
        for count in range(20):
            path = folder / f"noise_{count}.csv"
            path.write_bytes(noise.randbytes(noise.randrange(1, 20_000)))
            paths.append(path)
        assert all("refused" in told or not told["readings"] for told in outcomes(*paths))

    def test_a_folder_a_pipe_a_loop_and_nothing_at_all_are_named(self, folder):
        pipe, loop = folder / "pipe", folder / "loop"
        os.mkfifo(pipe)
        loop.symlink_to(loop)
        assert refusal(folder) == "is a folder, not a file"
        assert refusal(pipe) == "is a pipe or a device, not a file"
        assert refusal(loop).startswith("cannot be opened")
        assert refusal(folder / "nowhere.xlsx").startswith("cannot be opened")


class TestPackages:
    def test_a_bomb_by_size_is_refused_unopened(self, folder):
        big = bytes(1 << 20)
        extra = [(f"xl/media/image{i}.png", big) for i in range(600)]
        path = changed(good_workbook(folder), "size.xlsx", extra=extra)
        assert refusal(path).startswith("must unpack to at most")

    def test_a_bomb_by_ratio_is_refused_unopened(self, folder):
        path = changed(
            good_workbook(folder), "ratio.xlsx", extra=[("xl/worksheets/x.xml", bytes(40 << 20))]
        )
        assert "must unpack to at most 200 times its size" in refusal(path)

    def test_a_package_within_the_package_is_never_opened(self, folder):
        inner = good_workbook(folder, "inner.xlsx").read_bytes()
        path = changed(
            good_workbook(folder), "nested.xlsx", extra=[("xl/embeddings/x.xlsx", inner)]
        )
        (told,) = outcomes(path)
        assert told["readings"] == 1

    def test_ten_thousand_entries_are_too_many(self, folder):
        extra = [(f"xl/custom/{i}", b"x") for i in range(10_001)]
        path = changed(good_workbook(folder), "many.xlsx", extra=extra)
        assert refusal(path).startswith("entries must be at most 10,000")

    @pytest.mark.parametrize(
        "name", ["../../etc/passwd", "/etc/passwd", "xl\\..\\..\\x", "C:/x.xml"]
    )
    def test_names_that_point_outside_are_refused(self, folder, name):
        path = changed(good_workbook(folder), "outside.xlsx", extra=[(name, b"x")])
        assert "points outside the package" in refusal(path)

    def test_entities_are_refused_before_they_are_read(self, folder):
        lines = "".join(f'<!ENTITY a{i + 1} "{f"&a{i};" * 10}">' for i in range(9))
        bomb = f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a0 "lol">{lines}]><x>&a9;</x>'.encode()
        for entry in (SHEET, "xl/workbook.xml", "xl/styles.xml"):
            path = changed(good_workbook(folder), "entity.xlsx", {entry: lambda data: bomb})
            assert refusal(path).endswith("holds a document-type declaration")

    def test_a_declaration_behind_a_long_comment_is_refused_too(self, folder):
        bomb = b"<?xml version='1.0'?><!--" + b"x" * (1 << 17) + b"--><!DOCTYPE x><x/>"
        path = changed(
            good_workbook(folder), "comment.xlsx", {SHEET: lambda d: bomb},
            compression=zipfile.ZIP_STORED,
        )  # fmt: skip
        assert "does not begin like a part" in refusal(path)

    @pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
    def test_parts_in_another_encoding_are_refused(self, folder, encoding):
        def recoded(data):
            return data.decode("utf-8").replace("UTF-8", "UTF-16").encode(encoding)

        path = changed(good_workbook(folder), "utf16.xlsx", {SHEET: recoded})
        assert "is not in UTF-8" in refusal(path)

    def test_a_declared_encoding_counts(self, folder):
        def declared(data):
            return (
                b'<?xml version="1.0" encoding="ISO-8859-1"?>' + data.partition(b"?>")[2]
                if data.startswith(b"<?xml")
                else b'<?xml version="1.0" encoding="ISO-8859-1"?>' + data
            )

        path = changed(good_workbook(folder), "latin.xlsx", {SHEET: declared})
        assert "is not in UTF-8" in refusal(path)

    def test_other_programs_packages_are_told_apart(self, folder):
        for name, entries, told in (
            ("x.numbers", ["Index/Document.iwa"], "is in a format of its own program"),
            ("x.xlsb", ["[Content_Types].xml", "_rels/.rels", "xl/workbook.bin"], "is a binary"),
            ("x.ods", ["mimetype", "content.xml"], "is an OpenDocument file"),
            ("x.docx", ["[Content_Types].xml"], "is a package without a workbook"),
            ("x.zip", ["readme.txt"], "is a package without a workbook"),
        ):
            path = folder / name
            with zipfile.ZipFile(path, "w") as package:
                for entry in entries:
                    package.writestr(entry, b"x")
            assert refusal(path).startswith(told)

    def test_a_locked_entry_is_refused(self, folder):
        data = bytearray(good_workbook(folder).read_bytes())
        for mark, place in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
            at = data.find(mark)
            while at >= 0:
                data[at + place] |= 1
                at = data.find(mark, at + 4)
        path = folder / "locked.xlsx"
        path.write_bytes(bytes(data))
        assert refusal(path) == "is encrypted; save it without a password"

    def test_a_file_cut_off_anywhere_is_refused(self, folder):
        data = good_workbook(folder, rows=[ROW] * 200).read_bytes()
        paths = []
        for part in range(1, 16):
            path = folder / f"cut_{part}.xlsx"
            path.write_bytes(data[: len(data) * part // 16])
            paths.append(path)
        assert all("refused" in told for told in outcomes(*paths))

    def test_a_byte_turned_over_is_refused_or_harmless(self, folder):
        data = good_workbook(folder, rows=[ROW] * 50).read_bytes()
        paths = []
        for part in range(1, 24):
            path, at = folder / f"turned_{part}.xlsx", len(data) * part // 24
            path.write_bytes(data[:at] + bytes([data[at] ^ 0xFF]) + data[at + 1 :])
            paths.append(path)
        for told in outcomes(*paths):
            assert "refused" in told or told["readings"] == 50

    def test_a_missing_part_is_refused(self, folder):
        good = good_workbook(folder)
        for entry in ("xl/workbook.xml", "xl/styles.xml", "xl/_rels/workbook.xml.rels"):
            target = folder / "missing.xlsx"
            with zipfile.ZipFile(good) as source, zipfile.ZipFile(target, "w") as copy:
                for name in source.namelist():
                    if name != entry:
                        copy.writestr(name, source.read(name))
            (told,) = outcomes(target)
            assert "refused" in told or told["readings"] == 1


class TestSheets:
    def test_a_shared_text_that_is_not_there_is_refused_with_its_sheet(self, folder):
        def beyond(data):
            inline = b't="inlineStr"><is><t>worn</t></is>'
            shared = re.sub(rb't="s"><v>\d+</v>', b't="s"><v>99999</v>', data)
            return shared.replace(inline, b't="s"><v>99999</v>')

        path = changed(good_workbook(folder), "strings.xlsx", {SHEET: beyond})
        assert refusal(path).startswith("sheet Block is damaged after row")

    def test_wrong_stored_dimensions_do_not_matter(self, folder):
        for ref in (b"A1", b"A1:XFD1048576", b"Q7:R9"):
            path = changed(
                good_workbook(folder), "size.xlsx",
                {SHEET: lambda data, ref=ref: data.replace(b'ref="A1:H2"', b'ref="' + ref + b'"')},
            )  # fmt: skip
            (told,) = outcomes(path)
            assert told["readings"] == 1

    def test_rows_out_of_order_are_refused_and_not_dropped(self, folder):
        def swapped(data):
            return data.replace(b'<row r="2"', b'<row r="9"').replace(b'r="1"', b'r="10"')

        path = changed(good_workbook(folder), "order.xlsx", {SHEET: swapped})
        assert "is damaged" in refusal(path)

    def test_sixteen_thousand_columns_are_read_and_named(self, folder):
        path = good_workbook(folder, "wide.xlsx")
        book = openpyxl.load_workbook(path)
        for column in range(9, 16_385):
            book.active.cell(1, column, f"x{column}")
        book.save(path)
        (told,) = outcomes(path)
        assert told["readings"] == 1
        assert len(told["problems"]) == 11

    def test_a_million_rows_of_nothing_are_read(self, folder):
        def long(data):
            last = b'<row r="1048576"><c r="A1048576" t="inlineStr"><is><t>x</t></is></c></row>'
            return data.replace(b"</sheetData>", last + b"</sheetData>")

        path = changed(good_workbook(folder), "long.xlsx", {SHEET: long})
        (told,) = outcomes(path)
        assert told["readings"] == 1
        assert told["rows"] == 1_048_576

    def test_a_row_beyond_the_last_is_refused(self, folder):
        def far(data):
            return data.replace(b'r="2"', b'r="4000000000"')

        path = changed(good_workbook(folder), "far.xlsx", {SHEET: far})
        assert "has a row beyond 1,048,576" in refusal(path)

    def test_a_million_merged_ranges_are_refused(self, folder):
        merges = b"".join(b'<mergeCell ref="A%d:B%d"/>' % (i, i) for i in range(1, 1_000_001))

        def merged(data):
            block = b"<mergeCells>" + merges + b"</mergeCells>"
            return data.replace(b"</sheetData>", b"</sheetData>" + block)

        path = changed(
            good_workbook(folder), "merged.xlsx", {SHEET: merged}, compression=zipfile.ZIP_STORED
        )
        assert refusal(path).startswith("merged ranges must be at most 20,000")

    def test_merged_ranges_on_top_of_each_other_are_refused(self, folder):
        merges = b'<mergeCell ref="A1:XFD1048576"/>' * 15_000

        def merged(data):
            block = b"<mergeCells>" + merges + b"</mergeCells>"
            return data.replace(b"</sheetData>", b"</sheetData>" + block)

        path = changed(
            good_workbook(folder, rows=[ROW] * 100), "heap.xlsx", {SHEET: merged},
            compression=zipfile.ZIP_STORED,
        )  # fmt: skip
        assert "has merged ranges on top of each other" in refusal(path)

    def test_cells_far_to_the_right_in_every_row_are_refused(self, folder):
        far = b"".join(
            b'<row r="%d"><c r="XFD%d"><v>1</v></c></row>' % (i, i) for i in range(3, 20_000)
        )

        def spread(data):
            return data.replace(b"</sheetData>", far + b"</sheetData>")

        path = changed(
            good_workbook(folder), "spread.xlsx", {SHEET: spread}, compression=zipfile.ZIP_STORED
        )
        assert "spreads over too many columns" in refusal(path)

    def test_links_and_macros_are_never_followed(self, folder):
        rels = b"""<?xml version="1.0" encoding="UTF-8"?>
            <Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
            <Relationship Id="rId1" TargetMode="External" Target="file:///etc/passwd" Type=
            "http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLinkPath"/>
            </Relationships>"""
        extra = [
            ("xl/externalLinks/_rels/externalLink1.xml.rels", rels),
            ("xl/vbaProject.bin", bytes(1000)),
        ]
        path = changed(good_workbook(folder), "links.xlsx", extra=extra)
        (told,) = outcomes(path)
        assert told["readings"] == 1

    def test_formulas_and_markup_in_notes_stay_text(self, folder):
        notes = [
            "=cmd|' /c calc'!A1",
            "<script>alert(1)</script>",
            "\u202eabc",
            "+1",
            "@x",
            "x" * 32_767,
        ]
        path = folder / "notes.xlsx"
        book = openpyxl.Workbook()
        book.active.append(HEAD)
        for number, note in enumerate(notes, 2):
            book.active.append([*ROW[:3], number, *ROW[4:7]])
            book.active.cell(number, 8, note).data_type = "s"
        book.save(path)
        csv_path = folder / "notes.csv"
        lines = [",".join(HEAD), *(",".join(map(str, ROW[:3])) + f',{i},diameter,86.012,mm,"{note}"'
                                   for i, note in enumerate(notes, 2))]  # fmt: skip
        csv_path.write_text("\n".join(lines), encoding="utf-8")
        for told in outcomes(path, csv_path):
            assert told["notes"] == notes


class TestCsv:
    def write(self, folder, name, text):
        path = folder / name
        path.write_text(text, encoding="utf-8")
        return path

    def test_sixteen_thousand_columns_are_read_and_named(self, folder):
        text = ",".join([*HEAD, *(f"x{i}" for i in range(16_384))])
        text += "\n" + ",".join(map(str, ROW)) + "\n"
        (told,) = outcomes(self.write(folder, "wide.csv", text))
        assert told["readings"] == 1
        assert len(told["problems"]) == 11

    def test_a_million_rows_of_separators_are_refused_or_read(self, folder):
        text = ",".join(HEAD) + "\n" + ",".join(map(str, ROW)) + "\n" + "," * 3 + "\n"
        (told,) = outcomes(self.write(folder, "long.csv", text + "\n" * 1_048_576))
        assert told["readings"] == 1

    def test_millions_of_separators_are_refused(self, folder):
        text = ",".join(HEAD) + "\n" + "," * 6_000_000
        assert refusal(self.write(folder, "marks.csv", text)).startswith("cells must be at most")

    def test_one_endless_cell_is_refused_with_its_line(self, folder):
        text = ",".join(HEAD) + "\n" + "x" * 20_000_000 + ",1\n"
        assert refusal(self.write(folder, "cell.csv", text)).startswith(
            "line 2 holds a cell of more"
        )

    def test_an_endless_quote_counts_what_it_swallows(self, folder):
        lines = [",".join(map(str, ROW))] * 5_000
        text = "\n".join([",".join(HEAD), lines[0], '"' + lines[0], *lines]) + "\n"
        (told,) = outcomes(self.write(folder, "quote.csv", text))
        assert told["readings"] == 1
        assert told["rows"] == 5_003
        assert told["problems"][0][1] == "quote never closed"

    def test_a_file_beyond_all_size_is_refused_unread(self, folder):
        path = folder / "huge.csv"
        with path.open("wb") as stream:
            stream.truncate(10 << 30)
        assert refusal(path).startswith("size must be at most")

    def test_a_heading_that_stands_twice_is_named(self, folder):
        text = ",".join([*HEAD, "value"]) + "\n" + ",".join(map(str, [*ROW, 1])) + "\n"
        (told,) = outcomes(self.write(folder, "twice.csv", text))
        assert ["twice!F1", "heading twice"] in told["problems"]
        assert told["readings"] == 0


def test_a_file_that_changes_while_it_is_read_is_refused(folder, monkeypatch):
    import enginewright as ew

    path = folder / "changing.csv"
    path.write_text(",".join(HEAD) + "\n" + ",".join(map(str, ROW)) + "\n", encoding="utf-8")

    class Meanwhile:
        """The system, on which somebody saves the file between two looks at it."""

        looks = 0

        def __getattr__(self, name):
            return getattr(os, name)

        def fstat(self, handle):
            self.looks += 1
            if self.looks == 2:
                path.write_text("saved again", encoding="utf-8")
            return os.fstat(handle)

    monkeypatch.setattr("enginewright.sheets.guards.os", Meanwhile())
    with pytest.raises(ew.SheetError, match="changed while it was being read"):
        ew.sheets.read(path)


def test_guards_may_be_raised_for_a_file_that_is_known_to_be_good(folder):
    import enginewright as ew

    path = good_workbook(folder, rows=[ROW] * 30)
    with pytest.raises(ew.SheetError, match="cells must be at most 100"):
        ew.sheets.read(path, guards=ew.sheets.Guards(cells=100))
    assert len(ew.sheets.read(path, guards=ew.sheets.Guards(cells=1000)).readings) == 30
