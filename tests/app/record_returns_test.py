"""Fills work sheets in and gives them back: /usr/bin/python3 record_returns_test.py PROGRAM"""

import csv
import datetime
import io
import pathlib
import shutil
import subprocess
import sys
import unittest

import openpyxl

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from record_book import RecordBook


class Returns(RecordBook):
    def sheet(self):
        """The empty sheet, and the columns by their heads."""
        path = self.folder / "week.xlsx"
        run = self.run_program("plan", "--returns", "--format", "xlsx", "--out", str(path))
        self.assertEqual(run.returncode, 0, run.stderr)
        book = openpyxl.load_workbook(path)
        heads = {cell.value: cell.column for cell in book.active[1]}
        return path, book, heads

    def fill(self, sheet, heads, order, **cells):
        for row in range(2, sheet.max_row + 1):
            if sheet.cell(row, heads["Order"]).value == order:
                for head, value in cells.items():
                    sheet.cell(row, heads[head.replace("_", " ")]).value = value
                return row
        self.fail(order)

    def test_a_workbook_is_filled_in_and_given_back(self):
        path, book, heads = self.sheet()
        empty = self.record("--read", str(path))
        self.assertEqual(empty.returncode, 1)
        self.assertIn("Nothing is filled in", empty.stderr)
        sheet = book.active
        self.assertEqual(sheet.cell(2, heads["Done on"]).number_format, "@")
        self.fill(sheet, heads, "W1/grafting/1/1", Done_on="2027-04-02", By="Zoë \"Z\"", Plants_done=80,
                  Hours="1:20", Note="a; b")
        self.fill(sheet, heads, "W1/healing/1/1", Done_on="2027-04-06", Seen_and_counted="61 of 80; callus 70 %")
        self.fill(sheet, heads, "W1/healing/1/2", Done_on="left out", Note="nobody here")
        book.save(path)
        run = self.record("--read", str(path))
        self.assertEqual(run.returncode, 0, run.stderr)
        entries = self.listed()
        self.assertEqual([e["what"] for e in entries], ["done", "done", "counted", "seen", "left out"])
        first = entries[0]
        self.assertEqual((first["day"], first["by"], first["number"], first["seconds"], first["words"]),
                         ("2027-04-02", 'Zoë "Z"', 80, 4800, "a; b"))
        self.assertEqual((entries[2]["number"], entries[2]["of"], entries[2]["place"]), (61, 80, "healing"))
        # Given back again with one more row: what was noted is passed over.
        self.fill(sheet, heads, "W2/grafting/1/1", Done_on=datetime.date(2027, 4, 9), Hours=0.5)
        cell = sheet.cell(self.fill(sheet, heads, "W2/healing/1/1", Done_on=datetime.datetime(2027, 4, 13)),
                          heads["Hours"])
        cell.value = datetime.time(0, 20)
        book.save(path)
        run = self.record("--read", str(path))
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("had been noted before", run.stderr)
        entries = self.listed()
        self.assertEqual(len(entries), 7 + 0)
        self.assertEqual([(e["day"], e["seconds"]) for e in entries[-2:]], [("2027-04-09", 1800), ("2027-04-13", 1200)])

    def test_a_sheet_given_back_again_undoes_no_correction(self):
        path, book, heads = self.sheet()
        self.fill(book.active, heads, "W1/grafting/1/1", Done_on="2027-04-02", Plants_done=80)
        self.fill(book.active, heads, "W1/healing/1/1", Done_on="2027-04-06",
                  Seen_and_counted="lost 2 plants; lost 2 plants; callus 50 %")
        book.save(path)
        self.assertEqual(self.record("--read", str(path)).returncode, 0)
        first, _, _, _, seen = [e["id"] for e in self.listed()]
        self.note(f"correct {first} with W1/grafting/1/1 done on 2027-04-03, 79 plants", f'withdraw {seen} "misread"')
        before = self.listed()
        for by in ([], ["--by", "Ben"]):
            run = self.record("--read", str(path), *by)
            self.assertEqual(run.returncode, 0, run.stderr)
            self.assertIn("5 entries", run.stderr)
            self.assertEqual(self.listed(), before)
        # What stands in it more often than in the record is new.
        self.fill(book.active, heads, "W1/healing/1/1", Done_on="2027-04-06",
                  Seen_and_counted="lost 2 plants; lost 2 plants; callus 50 %; lost 2 plants")
        book.save(path)
        self.assertEqual(self.record("--read", str(path)).returncode, 0)
        self.assertEqual(len(self.listed()), len(before) + 1)

    def test_rows_of_a_csv_are_counted_as_a_spreadsheet_counts_them(self):
        path = self.write("back.csv", "Order,Done on,By,Hours\n\n"
                          "W1/grafting/1/1,2027-04-02,\"Ana\nBen\",1:20\n\n\n"
                          "W1/healing/1/1,2027-04-06,Ana # late,7o9\n")
        run = self.record("--read", path)
        self.assertIn("Row 6, column `Hours` (D6)", run.stderr)
        self.assertIn("back.csv:7:", run.stderr)
        self.assertIn("1 error", run.stderr)

    def test_bad_cells_are_told_with_row_and_column(self):
        path, book, heads = self.sheet()
        sheet = book.active
        bad = {
            "W1/grafting/1/1": ({"Done_on": "8.4.27"}, "Done on"),
            "W1/healing/1/1": ({"Done_on": "2027-04-06", "Plants_done": "many"}, "Plants done"),
            "W1/healing/1/2": ({"Done_on": "2027-04-09", "Hours": "6 weeks and more"}, "Hours"),
            "W2/grafting/1/1": ({"Hours": 3}, "Done on"),
            "W2/healing/1/1": ({"Done_on": "2027-04-13", "Seen_and_counted": "61 of 80; calus 70 %"}, "Seen and counted"),
            "W2/healing/1/2": ({"Done_on": "2027-02-30"}, "Done on"),
        }
        wanted = []
        for order, (cells, head) in bad.items():
            row = self.fill(sheet, heads, order, **cells)
            letter = openpyxl.utils.get_column_letter(heads[head])
            wanted.append(f"Row {row}, column `{head}` ({letter}{row})")
        book.save(path)
        run = self.record("--read", str(path))
        self.assertEqual(run.returncode, 1)
        for place in wanted:
            self.assertIn(place, run.stderr)
        self.assertIn("6 errors", run.stderr)
        self.assertIn("Nothing was noted.", run.stderr)
        self.assertEqual(self.listed(), [])

    def test_csv_does_the_same_and_marks_the_place(self):
        run = self.run_program("plan", "--returns", "--format", "csv", "--batch", "W1")
        rows = list(csv.reader(io.StringIO(run.stdout)))
        column = {head: i for i, head in enumerate(rows[0])}
        self.assertEqual(len(rows), 4)
        rows[1][column["Done on"]] = "2027-04-02"
        rows[1][column["By"]] = "Ana\nBen"
        rows[2][column["Done on"]] = "2027-04-06"
        rows[2][column["Plants done"]] = "-3"

        def save():
            text = io.StringIO()
            csv.writer(text).writerows(rows)
            return self.write("back.csv", text.getvalue())

        run = self.record("--read", save())
        self.assertEqual(run.returncode, 1)
        self.assertIn("Row 3, column `Plants done`", run.stderr)
        self.assertIn("back.csv:4:", run.stderr)  # a name over two lines stands before it
        rows[2][column["Plants done"]] = "79 of 80"
        self.assertEqual(self.record("--read", save()).returncode, 0)
        self.assertEqual(self.listed()[0]["by"], "Ana Ben")
        self.assertEqual(self.record("--read", self.write("x.csv", "a,b\n1,2\n")).returncode, 1)

    def test_files_that_are_no_sheets(self):
        for content in (b"", b"PK\x03\x04 no archive", b"<xml/>"):
            path = self.folder / "x.xlsx"
            path.write_bytes(content)
            run = self.record("--read", str(path))
            self.assertEqual(run.returncode, 1, content)
            self.assertIn("no-sheet", run.stderr)
        path, _, _ = self.sheet()
        whole = path.read_bytes()
        for size in (len(whole) // 2, len(whole) - 30):
            path.write_bytes(whole[:size])
            self.assertEqual(self.record("--read", str(path)).returncode, 1)
        self.assertEqual(self.record("--read", str(self.folder / "none.xlsx")).returncode, 1)

    def test_misuse(self):
        for words in (["--returns"], ["--returns", "--format", "json"], ["--returns", "--format", "csv", "--settings"],
                      ["--returns", "--format", "csv", "--level"]):
            self.assertEqual(self.run_program("plan", *words).returncode, 2, words)

    @unittest.skipUnless(shutil.which("soffice"), "no LibreOffice")
    def test_a_spreadsheet_program_saves_it_and_it_is_read_all_the_same(self):
        path, book, heads = self.sheet()
        self.fill(book.active, heads, "W1/grafting/1/1", Done_on="2027-04-02", Plants_done="80", Hours="1:20")
        book.save(path)
        home = pathlib.Path(self.holder.name) / "home"
        for ending, form in (("ods", "ods"), ("xlsx", "xlsx:Calc MS Excel 2007 XML")):
            subprocess.run(["soffice", f"-env:UserInstallation=file://{home}", "--headless", "--convert-to", form,
                            "--outdir", self.holder.name, str(path)], check=True, capture_output=True)
            path = pathlib.Path(self.holder.name) / f"week.{ending}"
        run = self.record("--read", str(path))
        self.assertEqual(run.returncode, 0, run.stderr)
        entry = self.listed()[0]
        self.assertEqual((entry["day"], entry["number"], entry["seconds"]), ("2027-04-02", 80, 4800))


if __name__ == "__main__":
    RecordBook.program = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
