"""Holds spreadsheets of the program against its own CSV, worked out anew by an independent program:
python3 workbook_test.py PROGRAM"""

import atexit
import csv
import datetime
import functools
import io
import os
import pty
import resource
import shutil
import subprocess
import sys
import tempfile
import unittest

import books
from books import BookTest, plain, rows, run

try:
    import openpyxl
except ImportError:
    openpyxl = None
OFFICE = shutil.which("soffice")

# Formulas are worked out when a file is opened, whatever values stand in it.
RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode"
 oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""
ALL_SHEETS = 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1'


@functools.cache
def profile():
    """The settings of the spreadsheet program, made once: its first start takes longest."""
    folder = tempfile.mkdtemp()
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    os.makedirs(os.path.join(folder, "user"))
    with open(os.path.join(folder, "user", "registrymodifications.xcu"), "w") as file:
        file.write(RECALCULATE)
    return folder


def number(shown):
    """What a cell shows: 0.5 for "50%"."""
    return float(shown[:-1]) / 100 if shown.endswith("%") else float(shown)


class WorkbookTest(BookTest):
    def workbook(self, command, folder, *arguments, name="result.xlsx"):
        path = self.folder / name
        result = run(command, folder, "--format", "xlsx", "--out", path, *arguments)
        self.assertIn(result.status, (0, 1), result.err)
        self.assertTrue(path.read_bytes().startswith(b"PK"), result.err)
        return path

    def opened(self, *paths):
        """The sheets of each file, by name, as rows of texts, worked out by a spreadsheet program. It opens all
        files in one go, because its start takes longest."""
        out = tempfile.mkdtemp(dir=self.folder)
        subprocess.run([OFFICE, f"-env:UserInstallation=file://{profile()}", "--headless",
                        "--convert-to", ALL_SHEETS, "--outdir", out, *map(str, paths)], check=True,
                       capture_output=True, timeout=300)
        return [self.csv_sheets(out, path) for path in paths]

    def csv_sheets(self, folder, path):
        sheets = {}
        for name in openpyxl.load_workbook(path).sheetnames:
            with open(os.path.join(folder, f"{path.stem}-{name}.csv"), newline="") as file:
                sheets[name] = list(csv.reader(file))
        return sheets

    def opened_books(self, command, *arguments):
        """Each book there is, its workbook, and that opened."""
        folders = list(self.all_books())
        paths = [self.workbook(command, folder, *arguments, name=f"{number}.xlsx")
                 for number, folder in enumerate(folders)]
        return zip(folders, paths, self.opened(*paths))

    def sheet(self, sheets, name, totals=False):
        """Rows of a sheet as dictionaries; without the totals below."""
        table = sheets[name]
        heads = table[0]
        self.assertEqual(len(set(heads)), len(heads), heads)
        body = table[1:-2] if totals and len(table) > 1 else table[1:]
        return heads, [dict(zip(heads, row)) for row in body]

    def same(self, shown, wanted, about):
        """A cell and a value of the CSV: numbers within rounding."""
        # What is no character cannot stand in a spreadsheet.
        wanted = plain(wanted).replace("\r\n", "\n").replace("\uffff", "?")
        if shown == wanted:
            return
        try:
            self.assertAlmostEqual(number(shown), float(wanted), delta=1e-9 * max(1, abs(float(wanted))),
                                   msg=about)
        except ValueError:
            self.assertEqual(shown, wanted, about)

    def compare(self, table, wanted, pairs):
        self.assertEqual(len(table), len(wanted))
        for shown, row in zip(table, wanted):
            for head, key in pairs:
                self.same(shown[head], row[key] if isinstance(key, str) else key(row), (head, row))


ORDER_PAIRS = [("Date", "date"), ("Weekday", "weekday"), ("Week", "week"), ("Batch", "batch"),
               ("Cultivar", "cultivar"), ("Plants", "plants"), ("Person hours", "person_hours"),
               ("People", "people"), ("Crew", "crew"), ("Room", "room"), ("Stage", "stage"),
               ("Stage starts", "stage_start"), ("Stage ends", "stage_end"),
               ("May end first", "stage_end_earliest"), ("May end last", "stage_end_latest"),
               ("Float (days)", "float_days"), ("Due", "due"), ("Tools", "tools"),
               ("Keep", "settings"), ("Cautions", "cautions"), ("Record", "record"),
               ("Notes", "notes"), ("Lots", "lots"), ("Protocol", "protocol"),
               ("Edition", "edition"), ("Line", "line"), ("Order", "id")]


@unittest.skipUnless(openpyxl and OFFICE,
                     "SKIPPED: python3-openpyxl or libreoffice-calc-nogui is not installed")
class OpenedTest(WorkbookTest):
    def test_orders_and_settings(self):
        for folder, _, sheets in self.opened_books("plan"):
            with self.subTest(folder.name):
                heads, shown = self.sheet(sheets, "Work orders", totals=True)
                csv_heads, wanted = rows("plan", folder)
                work = [r for r in wanted if r["id"].split("/")[2] != "set"]
                pairs = ORDER_PAIRS + [("Work", lambda r: r["title"].replace("\t", " "))]
                supplies = csv_heads[csv_heads.index("cultivar") + 1:]
                pairs += list(zip(heads[len(ORDER_PAIRS) + 2:], supplies))
                self.assertEqual(len(heads), len(ORDER_PAIRS) + 2 + len(supplies))
                self.compare(shown, work, pairs)
                total = sum(float(r["person_hours"] or 0) for r in work)
                self.same(sheets["Work orders"][-1][heads.index("Person hours")], str(total), "total")
                _, shown = self.sheet(sheets, "Settings")
                self.compare(shown, [r for r in wanted if r["id"].split("/")[2] == "set"],
                             [("Date", "date"), ("Weekday", "weekday"), ("Week", "week"),
                              ("Room", "room"), ("Batch", "batch"), ("Stage", "stage"),
                              ("Cultivar", "cultivar"), ("Set", "settings"), ("Notes", "notes"),
                              ("Zone", lambda r: r["id"].split("/")[1].replace("all", "")),
                              ("Protocol", "protocol"), ("Edition", "edition"), ("Line", "line"),
                              ("Order", "id")])

    def test_stages(self):
        for folder, _, sheets in self.opened_books("plan"):
            with self.subTest(folder.name):
                _, shown = self.sheet(sheets, "Stages", totals=True)
                _, cells = rows("sheet", folder)
                values = {(c["batch"], c["cell"]): c["value"] for c in cells}
                self.assertEqual(len(shown), len({(c["batch"], c["stage"]) for c in cells if c["stage"]}))
                for row in shown:
                    for head, cell in (("Start", "start"), ("End", "end"), ("Plants", "plants"),
                                       ("Left (plants)", "left"), ("Person hours", "hours")):
                        key = (row["Batch"], f"{row['Stage']}.{cell}")
                        self.assertIn(key, values)
                        self.same(row[head], values[key], key)
                    days = (datetime.date.fromisoformat(row["End"])
                            - datetime.date.fromisoformat(row["Start"])).days
                    self.assertEqual(float(row["Days"]), days)

    def test_settings_by_day(self):
        for folder, _, sheets in self.opened_books("plan", "--settings"):
            with self.subTest(folder.name):
                heads, shown = self.sheet(sheets, "Settings by day")
                csv_heads, wanted = rows("plan", folder, "--settings")
                self.compare(shown, wanted, list(zip(heads, csv_heads)))

    def test_needs(self):
        for folder, _, sheets in self.opened_books("needs", "--by", "week", "--costs", "--explain",
                                                   "--today", "2027-03-05"):
            with self.subTest(folder.name):
                _, wanted = rows("needs", folder, "--today", "2027-03-05")
                supplies = [r for r in wanted if r["kind"] == "supply"]
                none = lambda key: lambda r: r[key] or "0"
                _, shown = self.sheet(sheets, "Supplies", totals=True)
                self.compare(shown, supplies, [
                    ("Supply", lambda r: r["title"] or r["name"]), ("Name", "name"),
                    ("Needed", "amount"), ("Unit", "unit"), ("Comes back", "reused"),
                    ("Of that spoilt", "spoilt"), ("On hand", "on_hand"), ("Pack holds", "pack"),
                    ("To buy", none("buy")), ("Order by", "order_by"), ("Late", "late"),
                    ("Missing on", "missing_on"), ("Missing first for", "missing_batch"),
                    ("Most out on", "peak_date"),
                    ("Missing", lambda r: str(max(0, float(r["amount"]) - float(r["on_hand"]))))])
                for row, need in zip(shown, supplies):
                    cost = next(v for k, v in row.items() if k.startswith("Cost"))
                    if need["buy"]:
                        self.same(cost, need["cost"], need)
                    if need["buy_packs"]:
                        self.same(row["Packs to buy"], need["buy_packs"], need)
                _, shown = self.sheet(sheets, "Hours", totals=True)
                self.compare(shown, [r for r in wanted if r["kind"] == "crew"],
                             [("Crew", lambda r: r["name"] or "anyone"), ("Person hours", "amount")])
                _, shown = self.sheet(sheets, "By week")
                self.compare(shown, rows("needs", folder, "--by", "week")[1],
                             [("From", "monday"), ("Week", "week"), ("Kind", "kind"),
                              ("Name", "name"), ("Amount", "amount"), ("Unit", "unit")])
                heads, shown = self.sheet(sheets, "Costs", totals=True)
                csv_heads, wanted = rows("needs", folder, "--costs")
                csv_heads.remove("currency")
                self.compare(shown, wanted, list(zip(heads, csv_heads)))
                heads, shown = self.sheet(sheets, "Behind the needs")
                csv_heads, wanted = rows("needs", folder, "--explain")
                self.compare(shown, wanted, [
                    ("Supply", lambda r: r["title"] or r["supply"]), ("Name", "supply"),
                    ("Order", "order"), ("Batch", "batch"), ("Date", "date"), ("Back on", "back"),
                    ("Amount", "amount"), ("Of that spoilt", "spoilt"), ("Unit", "unit"),
                    ("Rule", "rule"), ("Line", "line")])

    def test_needs_by_day_and_batch(self):
        folder = self.book()
        for by, head in (("day", "From"), ("batch", "Batch")):
            sheets, = self.opened(self.workbook("needs", folder, "--by", by))
            table = sheets[f"By {by}"]
            _, wanted = rows("needs", folder, "--by", by)
            keys = [by, "kind", None, "name", "amount", "unit"] + ["there"] * (by == "day")
            self.assertEqual(table[0][0], head)
            self.assertEqual(len(table) - 1, len(wanted))
            for row, need in zip(table[1:], wanted):
                for shown, key in zip(row, keys):
                    if key:
                        self.same(shown, need[key], need)

    def test_load(self):
        for words in ([], ["--from", "2027-04-01", "--to", "2027-05-15"]):
            for folder, _, sheets in self.opened_books("load", *words):
                with self.subTest(folder.name, words=words):
                    _, wanted = rows("load", folder, *words)
                    for name, kind, used, there in (("Rooms", "room", "Used", "Holds"),
                                                    ("Crews", "crew", "Wanted", "There")):
                        days = [r for r in wanted if r["kind"] == kind]
                        _, shown = self.sheet(sheets, name)
                        self.compare(shown, days, [
                            (name[:-1], lambda r: r["name"] or "anyone"), ("Date", "date"),
                            ("Week", "week"), (used, "wanted"), (there, "there"), ("Unit", "unit"),
                            ("Too much", "over"), ("Batches", lambda r: r["batches"].replace(";", ","))])
                        for row, day in zip(shown, days):
                            if day["percent"]:
                                self.same(str(100 * number(row["Taken"])), day["percent"], day)
                            if day["there"]:
                                self.same(row["Still free"],
                                          str(float(day["there"]) - float(day["wanted"])), day)

    def test_sheet(self):
        for folder, path, sheets in self.opened_books("sheet"):
            with self.subTest(folder.name):
                formats = openpyxl.load_workbook(path)
                _, wanted = rows("sheet", folder)
                signs = {"recorded": "!", "pinned": "^", "batch": "*", "site": "+", "": None}
                found = 0
                for cell in wanted:
                    table = sheets[cell["protocol"]]
                    column = table[0].index(cell["batch"])
                    row = next(i for i, r in enumerate(table)
                               if r[:2] == [cell["stage"], cell["cell"]])
                    self.same(table[row][column], cell["value"], cell)
                    if cell["value"]:
                        self.assertEqual(table[row][2], cell["unit"], cell)
                        shown = formats[cell["protocol"]].cell(row + 1, column + 1).number_format
                        sign = signs[cell["mark"]]
                        self.assertEqual(shown.endswith(f'" {sign}"'), sign is not None, shown)
                    found += 1
                self.assertEqual(found, len(wanted))

    def test_people_can_play_on(self):
        path = self.workbook("needs", self.book())
        book = openpyxl.load_workbook(path)
        sheet = book["Supplies"]
        heads = [c.value for c in sheet[1]]
        column = {h: i for i, h in enumerate(heads)}
        row = next(r for r in sheet.iter_rows(min_row=2) if r[column["Name"]].value == "mix")
        needed = row[column["Needed"]].value
        row[column["On hand"]].value = 0
        row[column["Pack holds"]].value = 7
        price = next(c for h, c in column.items() if h.startswith("Price"))
        row[price].value = 3
        changed = self.folder / "changed.xlsx"
        book.save(changed)
        shown = next(r for r in self.opened(changed)[0]["Supplies"] if r[column["Name"]] == "mix")
        packs = -(-needed // 7)
        self.assertEqual(float(shown[column["Packs to buy"]]), packs)
        self.assertEqual(float(shown[column["To buy"]]), 7 * packs)
        self.assertEqual(float(shown[next(c for h, c in column.items() if h.startswith("Cost"))]),
                         3 * packs)
        path = self.workbook("plan", self.book())
        book = openpyxl.load_workbook(path)
        sheet = book["Stages"]
        column = {c.value: i for i, c in enumerate(sheet[1])}
        sheet.cell(2, column["Loss"] + 1).value = 0.5
        book.save(changed)
        table = self.opened(changed)[0]["Stages"]
        plants = float(table[1][column["Plants"]])
        self.assertAlmostEqual(float(table[1][column["Left (plants)"]]), plants / 2)
        self.assertAlmostEqual(float(table[2][column["Left (plants)"]]), plants / 2 * 0.9)


@unittest.skipUnless(openpyxl, "SKIPPED: python3-openpyxl is not installed")
class LayoutTest(WorkbookTest):
    def test_layout(self):
        for command, words, sheets in (
                ("plan", [], ["Work orders", "Settings", "Stages"]),
                ("plan", ["--settings"], ["Settings by day"]),
                ("needs", ["--costs"], ["Supplies", "Hours", "Costs"]),
                ("load", [], ["Rooms", "Crews"]), ("sheet", [], ["division", "Signs"])):
            book = openpyxl.load_workbook(self.workbook(command, self.book(), *words))
            self.assertEqual(book.sheetnames, sheets)
            self.assertEqual(book.properties.created, datetime.datetime(2020, 1, 1))
            for sheet in book:
                last = sheet.max_column
                self.assertTrue(sheet.auto_filter.ref.startswith("A1:"), sheet.title)
                self.assertIn(openpyxl.utils.get_column_letter(last), sheet.auto_filter.ref)
                self.assertTrue(sheet.freeze_panes.endswith("2"), sheet.freeze_panes)
                self.assertEqual(sheet.page_setup.orientation, "landscape")
                self.assertTrue(sheet.sheet_properties.pageSetUpPr.fitToPage)
                self.assertEqual(int(sheet.page_setup.fitToHeight), 0)
                self.assertEqual(sheet.print_title_rows, "$1:$1")
                self.assertEqual(sheet.oddHeader.left.text, "Willow Yard")
                self.assertEqual(sheet.oddHeader.right.text, sheet.title)
                self.assertIn("&P", sheet.oddFooter.center.text)
                self.assertTrue(all(c.font.bold for c in sheet[1]))

    def test_what_a_load_leaves_out_comes_first(self):
        book = openpyxl.load_workbook(self.workbook("load", books.EXAMPLES[0]))
        self.assertEqual(book.sheetnames, ["Left out", "Rooms", "Crews"])
        self.assertIn("`mist_frame`", book["Left out"].cell(2, 1).value)

    def test_types_and_formulas(self):
        sheet = openpyxl.load_workbook(self.workbook("plan", self.book()))["Work orders"]
        column = {c.value: i for i, c in enumerate(sheet[1])}
        for row in sheet.iter_rows(min_row=2, max_row=sheet.max_row - 2):
            self.assertIsInstance(row[column["Date"]].value, datetime.datetime)
            self.assertEqual(row[column["Date"]].number_format, "yyyy-mm-dd")
            self.assertIsInstance(row[column["Plants"]].value, (int, float))
            rated = row[column["Plants an hour"]].value is not None
            self.assertEqual(rated, row[column["Work"]].value != "Look over")
            self.assertEqual(row[column["Person hours"]].data_type, "f" if rated else "n")
        self.assertIn("Potting mix (L)", column)
        total = sheet.cell(sheet.max_row, column["Person hours"] + 1)
        self.assertTrue(total.value.startswith("=SUBTOTAL(109,I2:I"), total.value)
        needs = openpyxl.load_workbook(self.workbook("needs", self.book()))["Supplies"]
        column = {c.value: i for i, c in enumerate(needs[1])}
        mix = next(r for r in needs.iter_rows() if r[1].value == "mix")
        for head in ("Missing", "Packs to buy", "To buy", "Cost EUR"):
            self.assertEqual(mix[column[head]].data_type, "f", head)
        stages = openpyxl.load_workbook(self.workbook("plan", self.book()))["Stages"]
        column = {c.value: i for i, c in enumerate(stages[1])}
        for row in stages.iter_rows(min_row=2, max_row=stages.max_row - 2):
            self.assertEqual(row[column["Left (plants)"]].data_type, "f")
            self.assertEqual(row[column["Days"]].data_type, "f")

    def test_texts_stay_texts(self):
        path = self.workbook("plan", self.unkind_book())
        book = openpyxl.load_workbook(path)
        sheet = book["Work orders"]
        column = [c.value for c in sheet[1]].index("Work")
        titles = [r[column] for r in sheet.iter_rows(min_row=2, max_row=sheet.max_row - 2)]
        self.assertEqual(len(titles), len(books.UNKIND_TITLES))
        for cell in titles:
            self.assertIn(cell.data_type, "s")
            self.assertIsNone(cell.hyperlink)
            self.assertNotRegex(cell.value, "[\x00-\x1f\u202e\u200f\uffff]")
        self.assertEqual(sheet.oddHeader.left.text.replace("&&", "&"), 'A & B; "C", \u00e4 <D> \U0001F331')


class FileTest(WorkbookTest):
    def test_same_bytes(self):
        for command in ("plan", "needs", "load", "sheet"):
            first = self.workbook(command, self.book()).read_bytes()
            self.assertEqual(self.workbook(command, self.book(), name="again.xlsx").read_bytes(),
                             first)
            self.assertEqual(run(command, self.book(), "--format", "xlsx").raw, first)

    def test_not_to_a_terminal(self):
        for command in ("plan", "needs", "load", "sheet"):
            ours, theirs = pty.openpty()
            result = run(command, self.book(), "--format", "xlsx", stdout=theirs)
            os.close(theirs)
            self.assert_status(result, 2)
            self.assertIn("--out FILE.xlsx", result.err)
            try:
                self.assertEqual(os.read(ours, 100), b"")
            except OSError:
                pass  # nobody has written, and nobody will
            os.close(ours)

    def test_misuse(self):
        book = self.book()
        for words in (["plan", "--set", "D1.plants=90"], ["plan", "--level"],
                      ["needs", "--set", "D1.plants=90"], ["load", "--set", "D1.plants=90"],
                      ["sheet", "--set", "D1.plants=90"], ["sheet", "--sensitivity", "growing_on.left"],
                      ["propose"], ["plan", "--format", "xlsm"]):
            result = run(words[0], book, "--format", "xlsx", *words[1:])
            self.assert_status(result, 2)
            self.assertEqual(result.raw, b"")
            self.assertNotEqual(result.err, "")

    def test_levelled_load(self):
        book = self.book(batches="early: 14 days\n" + books.BATCHES)
        self.workbook("load", book, "--level")

    def test_disk_and_folder(self):
        book = self.book()
        for words, message in ((["--out", "/dev/full"], "/dev/full"),
                               (["--out", self.folder / "none" / "p.xlsx"], "there is no folder")):
            result = run("plan", book, "--format", "xlsx", *words)
            self.assert_status(result, 1)
            self.assertIn(message, result.err)
        path = self.folder / "old.xlsx"
        path.write_bytes(b"old")
        cases = [dict(preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))),
                 dict(env={**os.environ, "TMPDIR": str(self.folder / "none")})]
        for more in cases:
            result = run("plan", book, "--format", "xlsx", "--out", path, **more)
            self.assert_status(result, 1)
            self.assertIn("budwood: ", result.err)
            self.assertEqual(path.read_bytes(), b"old")
            self.assertEqual([p.name for p in self.folder.iterdir() if "budwood" in p.name], [])

    def test_nothing_stays_behind(self):
        place = self.folder / "tmp"
        place.mkdir()
        run("plan", self.book(), "--format", "xlsx", "--out", self.folder / "p.xlsx",
            env={**os.environ, "TMPDIR": str(place)})
        self.assertEqual(list(place.iterdir()), [])


if __name__ == "__main__":
    books.program = sys.argv.pop(1)
    if openpyxl is None or OFFICE is None:
        print("SKIPPED: spreadsheets are not opened, python3-openpyxl or libreoffice-calc-nogui is "
              "not installed")
    unittest.main()
