"""Runs the program on small books: python3 app_test.py PROGRAM"""

import csv
import fcntl
import io
import json
import os
import pty
import re
import resource
import shutil
import signal
import stat
import struct
import subprocess
import sys
import tempfile
import termios
import time
import unittest
import xml.etree.ElementTree

PROGRAM = ""
NOBODY = 65534

PROTOCOL = """protocol division "Division of clumps" {
  edition 2
  crop "hosta"
  supply clump "Clump" in clumps
  supply mix "Potting mix" in L pack 50 L
  part crown "Crown"
  stage cutting_up of crown {
    lasts 1 day
    room bench
    do "Wash, cut into crowns" on day 1 {
      rate 40 per hour
      crew potting
      use 1 clump per 6
      record crowns in plants
    }
  }
  stage growing_on of crown {
    lasts 5 weeks to 7 weeks usually 6 weeks
    room tunnel
    loses 10 %
    keep air 16 degC
    do "Look over" every 14 days from day 7 { time 20 min }
    do "Pot on" on last day { rate 80 per hour  crew potting  use 1.5 L mix each }
  }
}
"""
SITE = """site: Willow Yard
working: {days: [mon, tue, wed, thu, fri]}
rooms: {bench: {}, tunnel: {}}
crews: {potting: {people: 2, hours: 6 h}}
"""
BATCHES = """batches:
  - {batch: D1, protocol: division, plants: 120, ready: 2027-06-11}
  - {batch: D2, protocol: division edition 2, plants: 60, ready: 2027-07-09}
"""


class Result:
    def __init__(self, done):
        self.status = done.returncode
        self.out = done.stdout.decode() if done.stdout is not None else None
        self.err = done.stderr.decode() if done.stderr is not None else None


def run(*arguments, cwd=None, stdout=subprocess.PIPE, **more):
    environment = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TERM")}
    done = subprocess.run([PROGRAM, *arguments], cwd=cwd, stdout=stdout, stdin=subprocess.DEVNULL,
                          stderr=subprocess.PIPE, env=environment, timeout=120, **more)
    return Result(done)


class ProgramTest(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.mkdtemp(prefix="budwood_app_test_")
        os.chmod(self.folder, 0o755)
        self.addCleanup(shutil.rmtree, self.folder, True)

    def path(self, *names):
        return os.path.join(self.folder, *names)

    def write(self, name, text):
        path = self.path(name)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "wb") as file:
            file.write(text if isinstance(text, bytes) else text.encode())
        return path

    def read(self, name):
        with open(self.path(name), encoding="utf-8", newline="") as file:
            return file.read()

    def book(self, name="book", protocol=PROTOCOL, site=SITE, batches=BATCHES):
        self.write(f"{name}/division.bud", protocol)
        self.write(f"{name}/site.yaml", site)
        self.write(f"{name}/batches.yaml", batches)
        return self.path(name)

    def assert_status(self, result, status):
        self.assertEqual(result.status, status, f"stdout: {result.out}\nstderr: {result.err}")
        self.assertNotIn("Sanitizer", result.err or "")


class UsageTest(ProgramTest):
    def test_help_and_version(self):
        for arguments in (["--help"], ["plan", "--help"], ["check", "-h"], ["needs", "--help"],
                          ["why", "--help"], ["sheet", "--help"], ["load", "--help"]):
            result = run(*arguments)
            self.assert_status(result, 0)
            self.assertIn("--help", result.out)
            self.assertEqual(result.err, "")
        self.assertRegex(run("--version").out, r"^budwood \d+\.\d+\.\d+\n$")

    def test_misuse(self):
        book = self.book()
        for arguments, words in (
                ([], "check"),
                (["paln"], "Did you mean `plan`?"),
                (["--fast"], "`--fast`"),
                (["check"], "PATH"),
                (["plan", book, "more"], "more"),
                (["plan", book, "--speed"], "--speed"),
                (["plan", book, "--format", "xml"], "table, csv, json, svg, xlsx or ics"),
                (["plan", book, "--from", "2027-02-29"], "is not a date"),
                (["plan", book, "--from", "soon"], "2027-03-14"),
                (["plan", book, "--from", "2027-03-02", "--to", "2027-03-01"], "comes before"),
                (["plan", book, "--batch", "D3x"], "no batch `D3x`"),
                (["plan", book, "--room", "tunel"], "Did you mean `tunnel`?"),
                (["plan", book, "--crew", "poting"], "Did you mean `potting`?"),
                (["plan", book, "--out", ""], "file name"),
                (["graph"], "PATH"),
                (["graph", book, "--format", "png"], "svg or dot"),
                (["graph", book, "--protocol", "dividion"], "Did you mean `division`?"),
        ):
            with self.subTest(arguments=arguments):
                result = run(*arguments)
                self.assert_status(result, 2)
                self.assertEqual(result.out, "")
                self.assertIn(words, result.err)

    def test_what_was_typed_cannot_steer_the_terminal(self):
        result = run("\x1b[2Jplan")
        self.assert_status(result, 2)
        self.assertNotIn("\x1b", result.err)


class CheckTest(ProgramTest):
    def test_no_mistakes(self):
        result = run("check", self.write("division.bud", PROTOCOL))
        self.assert_status(result, 0)
        self.assertEqual(result.out, "1 protocol: no errors.\n")
        result = run("check", self.book())
        self.assert_status(result, 0)
        self.assertEqual(result.out, "1 protocol, 1 book and 2 batches: no errors.\n")

    def test_mistakes_with_their_places(self):
        text = PROTOCOL.replace("loses 10 %", "loses 10 days").replace("use 1 clump", "use 1 clmp")
        result = run("check", "wrong.bud", cwd=os.path.dirname(self.write("wrong.bud", text)))
        self.assert_status(result, 1)
        self.assertEqual(result.out, "")
        places = re.findall(r"^wrong\.bud:(\d+):\d+: error", result.err, re.M)
        self.assertEqual(places, ["13", "20"])
        self.assertIn("clump", result.err)
        self.assertIn("2 errors", result.err)

    def test_a_folder_of_protocols_and_books(self):
        self.book("a/book")
        self.write("a/b/one.bud", PROTOCOL)
        self.write("a/.hidden/bad.bud", "nonsense")
        result = run("check", self.path("a"))
        self.assert_status(result, 0)
        self.assertEqual(result.out, "2 protocols, 1 book and 2 batches: no errors.\n")
        self.write("a/t/dips.bud", 'table iba "Dips" (plant -> ppm) { dogwood: 3000 }')
        self.assertEqual(run("check", self.path("a")).out, "2 protocols, 1 shared table, 1 book and 2 batches: no errors.\n")
        self.assertEqual(run("check", self.path("a/t")).out, "1 shared table: no errors.\n")
        self.write("a/c/bad.bud", "nonsense")
        self.assert_status(run("check", self.path("a")), 1)

    def test_a_book_with_a_conflict(self):
        batches = BATCHES.replace("ready: 2027-06-11",
                                  "ready: 2027-06-11, pins: {growing_on.start: 2027-06-10}")
        result = run("check", self.book(batches=batches))
        self.assert_status(result, 1)
        self.assertIn("Batch `D1`", result.err)

    def test_bad_input_is_answered(self):
        cases = {
            "empty.bud": b"",
            "garbage.bud": bytes(range(256)) * 40,
            "no_text.bud": b"protocol \xff\xfe",
            "deep.bud": b"protocol p { let x = " + b"(" * 50_000,
            "braces.bud": b"{" * 50_000,
            "unclosed.bud": b'protocol p "P {\n  edition 1\n',
            "huge.bud": b'protocol p { note "' + b"x" * 50_000_000 + b'" }',
            "numbers.bud": b"protocol p { input x = " + b"9" * 5000 + b" from 0 to 1 }",
            "site.yaml": SITE.encode(),
        }
        for name, text in cases.items():
            with self.subTest(name=name):
                result = run("check", self.write(name, text))
                self.assert_status(result, 1)
                self.assertEqual(result.out, "")
                self.assertIn("error", result.err)
                self.assertLess(len(result.err), 200_000)

    def test_paths_that_cannot_be_checked(self):
        os.mkdir(self.path("empty"))
        for path in (self.path("missing.bud"), self.path("empty"), "/dev/zero", ""):
            with self.subTest(path=path):
                result = run("check", path)
                self.assert_status(result, 1)
                self.assertIn("error", result.err)

    @unittest.skipIf(os.geteuid() == 0 and sys.version_info < (3, 9), "needs to change the user")
    def test_unreadable_files(self):
        file = self.write("secret.bud", PROTOCOL)
        os.chmod(file, 0)
        book = self.book()
        os.chmod(self.path("book", "site.yaml"), 0)
        as_nobody = {"user": NOBODY} if os.geteuid() == 0 else {}
        for arguments in (["check", file], ["check", book], ["plan", book]):
            result = run(*arguments, **as_nobody)
            self.assert_status(result, 1)
            self.assertIn("cannot be read", result.err)
            self.assertEqual(result.out, "")


class PlanTest(ProgramTest):
    def test_table(self):
        result = run("plan", self.book())
        self.assert_status(result, 0)
        self.assertEqual(result.err, "")
        self.assertTrue(result.out.startswith("Willow Yard\n"))
        self.assertRegex(result.out, r"\nThursday 2027-04-29  \(2027-W17\)\n")
        self.assertNotIn("\x1b", result.out)
        self.assertLessEqual(max(map(len, result.out.split("\n"))), 100)

    def test_the_formats_agree(self):
        book = self.book()
        plan = json.loads(run("plan", book, "--format", "json").out)
        self.assertEqual(list(plan), ["site", "batches", "setting_orders", "notes", "conflicts"])
        orders = [order for batch in plan["batches"] for order in batch["work_orders"]]
        settings = plan["setting_orders"]
        rows = list(csv.DictReader(io.StringIO(run("plan", book, "--format", "csv").out,
                                               newline="")))
        self.assertEqual(sorted(o["id"] for o in orders + settings),
                         sorted(r["id"] for r in rows))
        self.assertEqual(len(set(o["id"] for o in orders)), len(orders))
        by_id = {row["id"]: row for row in rows}
        for order in orders:
            row = by_id[order["id"]]
            for key in ("stage", "date", "weekday", "week", "title", "crew", "room", "line"):
                self.assertEqual(order[key], row[key])
            self.assertEqual(order["plants"], float(row["plants"]))
            self.assertEqual(order["person_hours"], float(row["person_hours"]))
            for supply in order["supplies"]:
                self.assertEqual(supply["amount"],
                                 float(row[f"{supply['supply']} ({supply['unit']})"]))
        table = run("plan", book).out
        for order in orders + settings:
            self.assertIn(order["id"], table)
        # D2 finds the tunnel as D1 has had it set; it ends when the last of them leaves.
        self.assertEqual([o["for"] for o in settings], [["D1/growing_on"], []])
        self.assertEqual([o["id"] for o in settings],
                         ["tunnel/all/set/" + o["since"] for o in settings])
        needs = json.loads(run("needs", book, "--format", "json").out)
        mix = sum(s["amount"] for o in orders for s in o["supplies"] if s["supply"] == "mix")
        self.assertAlmostEqual(next(s["amount"] for s in needs["supplies"]
                                    if s["supply"] == "mix"), mix)
        hours = sum(o["person_hours"] for o in orders)
        self.assertAlmostEqual(sum(c["person_hours"] for c in needs["crews"]), hours, places=6)

    def test_why(self):
        book = self.book()
        told = run("why", book, "D1", "growing_on.start")
        self.assertEqual(told.status, 0)
        self.assertIn("D1 starts `growing_on` on Fri 30 April 2027, because the batch has to be "
                      "ready by Fri 11 June.", told.out)
        self.assertIn("(batches.yaml:2)", told.out)
        self.assertEqual(run("why", book, "D1", "start").out,
                         run("why", book, "D1", "cutting_up.start").out)
        uses = run("why", "--uses", book, "D1", "plants")
        self.assertEqual(uses.status, 0)
        self.assertIn("What rests on batch.plants of D1", uses.out)
        for wrong, what in ((["D9", "growing_on.start"], "no batch `D9`"),
                            (["D1", "growing_on.strat"], "Did you mean `growing_on.start`?")):
            answer = run("why", book, *wrong)
            self.assertEqual(answer.status, 2)
            self.assertIn(what, answer.err)
            self.assertEqual(answer.out, "")

    def test_rules(self):
        book = self.book()
        os.makedirs(os.path.join(book, "rules"))
        with open(os.path.join(book, "rules", "ours.bud"), "w") as file:
            file.write('rules ours { rule cool { for each stage s { advise s.air.last <= 10 degC '
                       'else "{s.title} is kept at {s.air.last}." } } }')
        with open(os.path.join(book, "site.yaml"), "a") as file:
            file.write("rules: [ours]\n")
        answer = run("check", book)
        self.assertEqual(answer.status, 0)
        self.assertIn("warning [ours.cool] growing on is kept at 16 degC.", answer.err)
        # What a book always says does not follow every command in full.
        answer = run("plan", book)
        self.assertEqual(answer.status, 0)
        self.assertIn("`budwood check", answer.err)
        self.assertNotIn("ours.cool", answer.err)
        with open(os.path.join(book, "site.yaml"), "a") as file:
            file.write("waive: {cool: a warm summer}\n")
        answer = run("check", book)
        self.assertIn("note [ours.cool] Waived (a warm summer): growing on", answer.err)

    def test_a_batch_whose_protocol_breaks_a_rule_is_not_planned(self):
        book = self.book(site=SITE + "rules: [ours]\n")
        self.write("book/ours.bud", 'rules ours { rule cool { for each stage s { require s.air.last '
                                    '<= 10 degC else "Too warm." } } }')
        answer = run("plan", book)
        self.assertEqual(answer.status, 1)
        self.assertEqual(answer.err.count("error [ours.cool] Too warm."), 1)
        for batch in ("D1", "D2"):
            self.assertIn(f"error [not-planned] Batch `{batch}` is not planned", answer.err)

    def test_filters(self):
        book = self.book()

        def ids(*options):
            result = run("plan", book, "--format", "csv", *options)
            self.assert_status(result, 0)
            rows = csv.DictReader(io.StringIO(result.out, newline=""))
            # What is set goes by room and day, not by batch.
            return [row["id"] for row in rows if "/set/" not in row["id"]]

        everything = ids()
        self.assertTrue(all(i.startswith("D2/") for i in ids("--batch", "D2")))
        self.assertEqual(len(ids("--batch", "D1")) + len(ids("--batch", "D2")), len(everything))
        self.assertTrue(all("/cutting_up/" in i for i in ids("--room", "bench")))
        self.assertEqual(len(ids("--crew", "potting")), 4)
        self.assertEqual(ids("--from", "2027-04-29", "--to", "2027-04-29"), ["D1/cutting_up/1/1"])
        self.assertEqual(sorted(ids("--to", "2027-05-31") + ids("--from", "2027-06-01")),
                         sorted(everything))

    def test_settings(self):
        protocol = PROTOCOL.replace("keep air 16 degC", "taper air 18 degC to 14 degC over 5 days"
                                    "  mist 20 s every 45 min until day 3")
        site = SITE.replace("tunnel: {}", "tunnel: {mist_flow: 0.9 L/min}")
        book = self.book(protocol=protocol, site=site)
        rows = list(csv.DictReader(io.StringIO(
            run("plan", book, "--settings", "--batch", "D1", "--format", "csv").out, newline="")))
        self.assertEqual(len(rows), 42)
        self.assertEqual([row["air_day (degC)"] for row in rows[:6]],
                         ["18", "17", "16", "15", "14", ""])
        # 32 pulses of 20 s; 640 s at 0.9 L/min.
        self.assertEqual([rows[0][key] for key in ("mist_pulses", "mist_time (s)",
                                                   "mist_volume (L)")], ["32", "640", "9.6"])
        self.assertEqual(rows[3]["mist_pulses"], "")
        same = json.loads(run("plan", book, "--settings", "--batch", "D1", "--format", "json").out)
        self.assertEqual([day["date"] for day in same], [row["date"] for row in rows])
        self.assertEqual(same[0]["mist_volume"], 9.6)
        self.assertIsNone(same[5]["air_day"])
        table = run("plan", book, "--settings", "--from", rows[1]["date"],
                    "--to", rows[1]["date"]).out
        self.assertRegex(table, rows[1]["date"] + r" +2 +17 +45 +32 +640 +9\.6 +18\n$")
        for form in ("csv", "json"):
            result = run("plan", book, "--settings", "--room", "bench", "--format", form)
            self.assert_status(result, 0)
            self.assertIn("No settings in room `bench`.", result.err)
        self.assertIn("No settings in room `bench`.",
                      run("plan", book, "--settings", "--room", "bench").out)
        result = run("plan", book, "--settings", "--crew", "potting")
        self.assert_status(result, 2)
        self.assertIn("leave --crew out", result.err)

    def test_an_empty_result_says_so(self):
        book = self.book()
        days = ["--from", "2030-01-01", "--to", "2030-01-31"]
        words = "No work orders between 2030-01-01 and 2030-01-31."
        result = run("plan", book, *days)
        self.assert_status(result, 0)
        self.assertIn(words, result.out)
        for form in ("csv", "json"):
            result = run("plan", book, *days, "--format", form)
            self.assert_status(result, 0)
            self.assertIn(words, result.err)
            self.assertNotIn(words, result.out)

    def test_a_conflict_leaves_the_other_batches_planned(self):
        batches = BATCHES.replace("ready: 2027-06-11",
                                  "ready: 2027-06-11, pins: {growing_on.start: 2027-06-10}")
        book = self.book(batches=batches)
        for form in ("table", "csv", "json"):
            result = run("plan", book, "--format", form)
            self.assert_status(result, 1)
            self.assertIn("D2/cutting_up/1/1", result.out)
            self.assertNotIn("D1/cutting_up/1/1", result.out)
            self.assertIn("Batch `D1`", result.err)
        self.assertEqual(json.loads(run("plan", book, "--format", "json").out)["conflicts"][0]
                         ["batch"], "D1")
        self.assert_status(run("plan", book, "--batch", "D2"), 0)

    def test_the_book_is_here_unless_told(self):
        book = self.book()
        self.assertEqual(run("needs", cwd=book).out, run("needs", book).out)

    def test_books_that_cannot_be_planned(self):
        self.write("bare/site.yaml", SITE)
        for folder in (self.path("missing"), self.path("bare"), self.write("file", "x")):
            for command in ("plan", "needs"):
                result = run(command, folder)
                self.assert_status(result, 1)
                self.assertEqual(result.out, "")
                self.assertIn("error", result.err)

    def test_a_mistake_in_one_batch_is_reported_beside_the_plan(self):
        book = self.book(batches=BATCHES + "  - {batch: D3, protocol: divsion, plants: 5, "
                                           "ready: 2027-06-11}\n")
        result = run("plan", book, "--format", "json")
        self.assert_status(result, 1)
        self.assertIn("Did you mean `division`?", result.err)
        self.assertEqual(len(json.loads(result.out)["batches"]), 2)

    def test_the_same_input_gives_the_same_bytes(self):
        book = self.book()
        for form in ("table", "csv", "json"):
            for command in ("plan", "needs"):
                first = run(command, book, "--format", form).out
                self.assertEqual(first, run(command, book, "--format", form).out)

    def test_text_that_a_spreadsheet_would_run(self):
        for title in ("=1+1", "+1", "-1", "@now"):
            book = self.book(protocol=PROTOCOL.replace("Look over", title))
            rows = list(csv.DictReader(io.StringIO(run("plan", book, "--format", "csv").out,
                                                   newline="")))
            titles = {row["title"] for row in rows}
            self.assertIn("'" + title, titles)
            self.assertNotIn(title, titles)

    def test_hostile_text_reaches_no_terminal(self):
        nasty = "a\x1b[2Jb\x07\u202ec\x9b1m"
        book = self.book(protocol=PROTOCOL.replace("Look over", nasty),
                         site=SITE.replace("Willow Yard", '"Yard \\e[2J \\u202e"'))
        for form in ("table", "csv", "json"):
            result = run("plan", book, "--format", form)
            for text in (result.out, result.err):
                self.assertNotRegex(text, "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
                if form == "table":
                    self.assertNotIn("\u202e", text)


class GraphTest(ProgramTest):
    def test_a_picture_that_is_well_formed(self):
        text = PROTOCOL.replace("Division of clumps", 'Division <of> \\"clumps\\" & more')
        result = run("graph", self.write("division.bud", text))
        self.assert_status(result, 0)
        self.assertEqual(result.err, "")
        root = xml.etree.ElementTree.fromstring(result.out)
        svg = "{http://www.w3.org/2000/svg}"
        self.assertEqual(root.tag, svg + "svg")
        self.assertEqual(root.find(svg + "title").text, 'Division <of> "clumps" & more')
        texts = [element.text for element in root.iter(svg + "text")]
        self.assertEqual(texts.count("35 to 49 days, usually 42"), 1)
        self.assertEqual(result.out, run("graph", self.path("division.bud")).out)

    def test_dot_and_files(self):
        book = self.book()
        result = run("graph", book, "--format", "dot", "--out", self.path("division.dot"))
        self.assert_status(result, 0)
        self.assertEqual(result.out, "")
        dot = self.read("division.dot")
        self.assertIn('"cutting_up" -> "growing_on";', dot)
        self.assertEqual(dot, run("graph", book, "--format", "dot").out)

    def test_which_of_several(self):
        self.write("methods/a.bud", PROTOCOL)
        self.write("methods/b.bud", PROTOCOL.replace("protocol division", "protocol layering"))
        methods = self.path("methods")
        result = run("graph", methods)
        self.assert_status(result, 2)
        self.assertEqual(result.out, "")
        self.assertIn("division and layering", result.err)
        result = run("graph", methods, "--protocol", "layring")
        self.assert_status(result, 2)
        self.assertIn("Did you mean `layering`?", result.err)
        result = run("graph", methods, "--protocol", "layering", "--format", "dot")
        self.assert_status(result, 0)
        self.assertTrue(result.out.startswith('digraph "layering"'))
        self.write("methods/c.bud", PROTOCOL.replace("edition 2", "edition 3"))
        result = run("graph", methods, "--protocol", "division")
        self.assert_status(result, 2)
        self.assertIn("division edition 2", result.err)
        result = run("graph", methods, "--protocol", "division edition 3")
        self.assert_status(result, 0)
        self.assertIn("Edition 3. ", result.out)

    def test_mistakes(self):
        wrong = PROTOCOL.replace("loses 10 %", "loses 10 days")
        never = PROTOCOL.replace("room tunnel", "room tunnel\n    starts within 90 days to 99 days "
                                                "of cutting_up.end")
        for text, code in ((wrong, "unit-mismatch"), (never, "dates-contradict"),
                           ("", "empty-file")):
            out = self.path("graph.svg")
            result = run("graph", self.write("wrong.bud", text), "--out", out)
            self.assert_status(result, 1)
            self.assertEqual(result.out, "")
            self.assertIn(code, result.err)
            self.assertFalse(os.path.exists(out))
        self.assert_status(run("graph", self.path("missing.bud")), 1)
        os.mkdir(self.path("empty"))
        result = run("graph", self.path("empty"))
        self.assert_status(result, 1)
        self.assertIn("no protocol", result.err)

    def test_a_mistake_elsewhere_does_not_hide_the_picture(self):
        self.write("both/good.bud", PROTOCOL)
        self.write("both/wrong.bud", PROTOCOL.replace("protocol division", "protocol other")
                   .replace("loses 10 %", "loses 10 days"))
        result = run("graph", self.path("both"), "--protocol", "division")
        self.assert_status(result, 1)
        self.assertIn("</svg>", result.out)
        self.assertIn("unit-mismatch", result.err)
        result = run("graph", self.path("both"), "--protocol", "other")
        self.assert_status(result, 1)
        self.assertEqual(result.out, "")


class OutputTest(ProgramTest):
    def test_a_file_holds_what_the_terminal_shows(self):
        book = self.book()
        for form in ("table", "csv", "json"):
            result = run("plan", book, "--format", form, "--out", self.path("plan"))
            self.assert_status(result, 0)
            self.assertEqual(result.out, "")
            shown = subprocess.run([PROGRAM, "plan", book, "--format", form],
                                   stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                                   check=True).stdout.decode()
            self.assertEqual(self.read("plan"), shown)
        self.assertEqual(sorted(os.listdir(self.folder)), ["book", "plan"])

    def test_an_older_file_is_replaced_with_its_rights(self):
        old = self.write("needs.csv", "old")
        os.chmod(old, 0o640)
        self.assert_status(run("needs", self.book(), "--format", "csv", "--out", old), 0)
        self.assertTrue(self.read("needs.csv").startswith("kind,name"))
        self.assertEqual(stat.S_IMODE(os.stat(old).st_mode), 0o640)

    def test_a_link_stays_a_link(self):
        self.write("real/plan.csv", "old")
        os.symlink("real/plan.csv", self.path("link.csv"))
        self.assert_status(run("needs", self.book(), "--format", "csv", "--out",
                               self.path("link.csv")), 0)
        self.assertTrue(os.path.islink(self.path("link.csv")))
        self.assertTrue(self.read("real/plan.csv").startswith("kind,name"))

    def test_places_that_take_no_file(self):
        book = self.book()
        self.write("file", "x")
        for out, words in ((self.path("nowhere", "plan.csv"), "there is no folder"),
                           (self.path("book"), "it is a folder"),
                           (self.path("file", "plan.csv"), "Not a directory"),
                           (self.path("x" * 300), "was not written"),
                           ("/dev/full", "No space left")):
            with self.subTest(out=out):
                result = run("plan", book, "--format", "csv", "--out", out)
                self.assert_status(result, 1)
                self.assertIn(words, result.err)
        self.assertTrue(stat.S_ISCHR(os.stat("/dev/full").st_mode))

    def test_a_disk_that_is_full_keeps_the_older_file(self):
        old = self.write("plan.json", "old")
        book = self.book()
        result = run("plan", book, "--format", "json", "--out", old,
                     preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000)))
        self.assert_status(result, 1)
        self.assertIn("was not written", result.err)
        self.assertIn("unchanged", result.err)
        self.assertEqual(self.read("plan.json"), "old")
        self.assertEqual(sorted(os.listdir(self.folder)), ["book", "plan.json"])

    @unittest.skipIf(os.geteuid() == 0 and sys.version_info < (3, 9), "needs to change the user")
    def test_a_folder_that_may_not_be_written(self):
        old = self.write("plan.json", "old")
        as_nobody = {"user": NOBODY} if os.geteuid() == 0 else {}
        book = self.book()
        os.chmod(self.folder, 0o555)
        self.addCleanup(os.chmod, self.folder, 0o755)
        for out in (old, self.path("new.json")):
            result = run("plan", book, "--format", "json", "--out", out, **as_nobody)
            self.assert_status(result, 1)
            self.assertIn("Permission denied", result.err)
        self.assertEqual(self.read("plan.json"), "old")

    def test_stdout_that_takes_nothing(self):
        book = self.book()
        for arguments in (["plan", book], ["needs", book], ["check", book], ["graph", book],
                          ["--help"], ["--version"]):
            with self.subTest(arguments=arguments), open("/dev/full", "wb") as full:
                result = run(*arguments, stdout=full)
                self.assert_status(result, 1)
                self.assertIn("No space left", result.err)

    def test_what_was_read_is_not_written_over(self):
        book = self.book()
        self.write("book/notes.txt", "mine")
        for name in ("site.yaml", "batches.yaml", "division.bud"):
            os.link(self.path("book", name), self.path("other_" + name))
            for out in (self.path("book", name), self.path("other_" + name)):
                before = self.read(os.path.relpath(out, self.folder))
                for command in (["plan", book], ["needs", book, "--format", "csv"],
                                ["plan", book, "--format", "xlsx"], ["graph", book],
                                ["plan", book, "--format", "ics"], ["print", book]):
                    result = run(*command, "--out", out)
                    self.assert_status(result, 1)
                    self.assertTrue("has read it" in result.err or "is left as it is" in result.err)
                    self.assertEqual(self.read(os.path.relpath(out, self.folder)), before)
        self.assert_status(run("plan", book, "--out", self.path("book", "notes.txt")), 0)
        bud = self.path("book", "division.bud")
        self.assert_status(run("pack", bud, "--out", bud), 1)

    def test_a_link_to_nothing(self):
        os.symlink("nothing", self.path("link"))
        result = run("plan", self.book(), "--out", self.path("link"))
        self.assert_status(result, 1)
        self.assertIn("a link to a file that is not there", result.err)
        self.assertFalse(os.path.exists(self.path("nothing")))

    def test_only_files_are_read(self):
        os.mkfifo(self.path("pipe.bud"))
        os.symlink("/dev/zero", self.path("zero.bud"))
        for path in (self.path("pipe.bud"), self.path("zero.bud"), "/proc/kmsg", "/dev/null"):
            for command in ("check", "graph", "unpack"):
                with self.subTest(path=path, command=command):
                    result = run(command, path)
                    self.assert_status(result, 1)
                    self.assertIn("is not a file", result.err)

    def test_written_but_not_told(self):
        bud = self.write("division.bud", PROTOCOL)
        with open("/dev/full", "wb") as full:
            result = run("pack", bud, "--out", self.path("p.zip"), stdout=full)
        self.assert_status(result, 1)
        self.assertIn("p.zip` was written, but", result.err)
        self.assertTrue(os.path.getsize(self.path("p.zip")) > 0)

    def test_a_signal_leaves_nothing_behind(self):
        self.book()
        os.mkdir(self.path("tmp"))
        for word in (signal.SIGTERM, signal.SIGINT):
            for wait in (0.0, 0.02, 0.04, 0.08):
                with subprocess.Popen([PROGRAM, "plan", self.path("book"), "--format", "xlsx",
                                       "--out", self.path("plan.xlsx")], stderr=subprocess.DEVNULL,
                                      env={**os.environ, "TMPDIR": self.path("tmp")}) as process:
                    time.sleep(wait)
                    process.send_signal(word)
                self.assertEqual(os.listdir(self.path("tmp")), [])
                self.assertEqual([n for n in os.listdir(self.folder) if n.startswith(".")], [])

    def test_stdout_that_is_closed(self):
        out = self.path("plan.csv")
        script = f'"{PROGRAM}" plan "{self.book()}" >&-'
        self.assertEqual(subprocess.run(["sh", "-c", script], stderr=subprocess.DEVNULL,
                                        check=False).returncode, 1)
        script = f'"{PROGRAM}" plan "{self.path("book")}" --out "{out}" >&- 2>&-'
        self.assertEqual(subprocess.run(["sh", "-c", script], check=False).returncode, 0)
        self.assertTrue(self.read("plan.csv").startswith("Willow Yard\n"))


class TerminalTest(ProgramTest):
    def on_terminal(self, *arguments, columns=80, **environment):
        """What the program prints when stdout and stderr are a terminal."""
        ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
        clean = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
        program = subprocess.Popen([PROGRAM, *arguments], stdout=theirs, stderr=theirs,
                                   stdin=subprocess.DEVNULL,
                                   env={**clean, "TERM": "xterm", **environment})
        os.close(theirs)
        text = b""
        while True:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # the other side is closed
                break
            if not piece:
                break
            text += piece
        os.close(ours)
        program.wait(60)
        return text.decode()

    def test_colours_and_width(self):
        book = self.book()
        self.assertIn("\x1b[1m", self.on_terminal("plan", book))
        self.assertNotIn("\x1b", self.on_terminal("plan", book, NO_COLOR="1"))
        self.assertNotIn("\x1b", self.on_terminal("plan", book, TERM="dumb"))
        wide = self.book("wide", PROTOCOL.replace("Look over", "look over " * 40))
        for columns in (80, 120):
            text = self.on_terminal("plan", wide, columns=columns, NO_COLOR="1")
            longest = max(map(len, text.replace("\r", "").split("\n")))
            self.assertLessEqual(longest, columns)
            self.assertGreater(longest, columns - 10)
        wrong = self.write("wrong.bud", "nonsense")
        self.assertIn("\x1b[1;31m", self.on_terminal("check", wrong))
        self.assertNotIn("\x1b", self.on_terminal("check", wrong, NO_COLOR="1"))

    def test_a_file_has_no_colours(self):
        self.on_terminal("plan", self.book(), "--out", self.path("plan.txt"))
        self.assertNotIn("\x1b", self.read("plan.txt"))


class NeedsTest(ProgramTest):
    def test_by_week(self):
        result = run("needs", self.book(), "--by", "week", "--format", "csv")
        self.assertEqual(result.status, 0, result.err)
        weeks = {row[next(iter(row))] for row in csv.DictReader(io.StringIO(result.out))}
        self.assertGreater(len(weeks), 3)

    def test_a_csv_file_holds_one_table(self):
        result = run("needs", self.book(), "--by", "week", "--costs", "--format", "csv")
        self.assertEqual(result.status, 2)

    def test_wrong_words(self):
        book = self.book()
        self.assertEqual(run("needs", book, "--by", "month").status, 2)
        self.assertEqual(run("needs", book, "--today", "tomorrow").status, 2)

    def test_explained(self):
        result = run("needs", self.book(), "--explain", "--format", "json")
        self.assertEqual(result.status, 0, result.err)
        supplies = {one["supply"]: one for one in json.loads(result.out)["supplies"]}
        # 120 of which 90 % are left are 134 crowns, from 23 clumps; 60 are 67, from 12.
        self.assertEqual(supplies["clump"]["amount"], 35)


class LoadTest(ProgramTest):
    def test_load(self):
        book = self.book(site=SITE.replace("tunnel: {}", "tunnel: {holds: 150 plants, turnover: 3 days}"))
        result = run("load", book)
        # 134 and 67 plants; the second batch comes two weeks before the first leaves.
        self.assertIn("Room tunnel is too full from", result.out)
        self.assertIn("This would help: Find room for", result.out)
        self.assertEqual(result.out.count("is too full"), 1)
        self.assertEqual(result.err.count("room-full"), 0)
        self.assert_status(result, 1)
        self.assertIn("[room-full] Batch `D2`: Room `tunnel` holds 150 plants", run("plan", book).err)
        fitting = run("load", book, "--room", "bench")
        # Nobody said what the bench holds.
        self.assertIn("What is counted fits.", fitting.out)
        self.assertIn("Not judged: room `bench`", fitting.out)
        self.assert_status(fitting, 0)

    def test_load_for_programs(self):
        book = self.book(site=SITE.replace("tunnel: {}", "tunnel: {holds: 150 plants}"))
        load = json.loads(run("load", book, "--format", "json").out)
        self.assertFalse(load["fits"])
        rows = list(csv.DictReader(io.StringIO(run("load", book, "--format", "csv").out)))
        full = {row["date"] for row in rows if row["name"] == "tunnel" and row["over"] == "yes"}
        over = load["rooms"][1]["overloads"][0]
        self.assertEqual((min(full), max(full)), (over["from"], over["to"]))
        picture = os.path.join(self.folder, "load.svg")
        self.assert_status(run("load", book, "--format", "svg", "--out", picture), 1)
        root = xml.etree.ElementTree.parse(picture).getroot()
        self.assertTrue(root.tag.endswith("svg"))

    def test_load_misuse(self):
        book = self.book()
        for arguments in (("--room", "tunel"), ("--room", "tunnel", "--crew", "potting"),
                          ("--from", "2027-05-02", "--to", "2027-05-01"), ("--format", "dot")):
            self.assert_status(run("load", book, *arguments), 2)


class WhatIfTest(ProgramTest):
    def differences(self, *arguments):
        result = run(*arguments, "--format", "json")
        return result, json.loads(result.out)["differences"]

    def test_plan_before_and_after(self):
        book = self.book()
        before = run("plan", book, "--format", "csv").out
        result, rows = self.differences("plan", book, "--set", "D1.ready=1 week earlier")
        self.assert_status(result, 0)
        orders = [row for row in rows if row["about"] == "order"]
        self.assertEqual(len(orders), 5)
        self.assertEqual({(row["batch"], row["difference"]) for row in orders}, {("D1", -7)})
        dates = {row["id"]: row["date"] for row in csv.DictReader(io.StringIO(before))}
        for row in orders:
            self.assertEqual(row["before"], dates[row["name"]])
        table = run("plan", book, "--set", "D1.ready=1 week earlier")
        self.assertIn("7 days earlier", table.out)
        self.assertIn("The other batch stays as it is.", table.out)
        # The book on the disk is as it was.
        self.assertEqual(run("plan", book, "--format", "csv").out, before)

    def test_several_changes_and_all_batches(self):
        result, rows = self.differences("plan", self.book(), "--set", "*.plants=10 % more", "--set",
                                        "D2.growing_on.end=2 days earlier")
        self.assert_status(result, 0)
        tried = [(row["batch"], row["name"], row["after"]) for row in rows
                 if row["about"] == "what_if"]
        self.assertEqual(tried[:2], [("D1", "plants", 132), ("D2", "plants", 66)])
        self.assertEqual(tried[2][:2], ("D2", "growing_on.end"))

    def test_conflicts_of_the_change_decide_the_status(self):
        result = run("plan", self.book(), "--set", "site.potting.people=1")
        self.assert_status(result, 0)
        result = run("plan", self.book(), "--set", "D1.growing_on.end=2027-12-01")
        self.assert_status(result, 1)
        self.assertIn("new conflict", result.out)
        self.assertIn("dates-contradict", result.err)
        self.assertNotIn("D2", result.err)

    def test_needs_before_and_after(self):
        result, rows = self.differences("needs", self.book(), "--set", "D1.plants=240")
        self.assert_status(result, 0)
        clumps = [row for row in rows if (row["about"], row["name"]) == ("supply", "clump")]
        # 240 of which 90 % are left are 267 crowns, from 45 clumps; 12 are for the other batch.
        self.assertEqual((clumps[0]["before"], clumps[0]["after"]), (35, 57))

    def test_load_before_and_after(self):
        book = self.book(site=SITE.replace("tunnel: {}", "tunnel: {holds: 250 plants}"))
        result, rows = self.differences("load", book, "--set", "D1.plants=240")
        tunnel = {row["value"]: row for row in rows if row["about"] == "room" and row["name"] == "tunnel"}
        self.assertEqual((tunnel["most"]["before"], tunnel["most"]["after"]), (201, 334))
        self.assertIsNone(tunnel["too full"]["before"])
        self.assert_status(result, 1)

    def test_sheet(self):
        book = self.book(batches=BATCHES.replace(
            "ready: 2027-06-11}", "ready: 2027-06-11, recorded: {cutting_up.left: 130}}"))
        result = run("sheet", book, "--format", "csv", "--cells", "*.left", "--batch", "D1")
        self.assertEqual(result.out.splitlines()[1:],
                         ["D1,division,2,cutting_up,cutting_up.left,130,plants,recorded,batch",
                          "D1,division,2,growing_on,growing_on.left,117,plants,,protocol"])
        self.assert_status(result, 1)
        self.assertIn("too-few", result.err)
        self.assertIn("117 plants are expected", result.err)
        result, rows = self.differences("sheet", book, "--set", "D1.cutting_up.left=free",
                                        "--cells", "growing_on.left")
        self.assert_status(result, 0)
        self.assertEqual([row["after"] for row in rows if row["about"] == "cell"], [120.6])

    def test_sensitivity(self):
        book = self.book()
        result = run("sheet", book, "--sensitivity", "cutting_up.plants", "--batch", "D1")
        self.assert_status(result, 0)
        self.assertIn("What moves cutting_up.plants of D1, now ", result.out)
        self.assertNotIn("of D2", result.out)
        self.assertIn("of D2", run("sheet", book, "--sensitivity", "plants").out)
        rows = run("sheet", book, "--sensitivity", "ready", "--format", "csv").out.splitlines()
        self.assertTrue(rows[0].startswith("batch,cell,cell_unit,cell_now,input,kind,unit,low,"))
        for wrong, what in ((["cutting_up.plnts"], "Did you mean `cutting_up.plants`?"),
                            (["ready", "--batch", "D9"], "no batch `D9`"),
                            (["ready", "--cells", "*.left"], "without --cells"),
                            (["\x1b[31m"], "has no value")):
            answer = run("sheet", book, "--sensitivity", *wrong)
            self.assertEqual(answer.status, 2)
            self.assertIn(what, answer.err)
            self.assertNotIn("\x1b", answer.err)
            self.assertEqual(answer.out, "")

    def test_hostile_changes(self):
        book = self.book()
        for change in ("", "=", "a=b", "*.=", "D1.take=", ".=", "*.*=*", "D1.ready=9999-01-01",
                       "D1.plants=" + "9" * 150, "D1.plants=nan", "D1.plants=-inf",
                       "D1.plants=1e9", "D1.ready=10 % more", "D1.plants=1 week earlier",
                       "D1.plants=3 furlongs", "D1.plants=\x01\x1b[31m", "D1.plants=6\n6",
                       "D1.cutting_up.plants=3", "D9.ready=2027-05-01", "site.=3",
                       "site.potting.people=9 fewer", "D1." + "x" * 100000 + "=3", "=" * 100000,
                       b"D1.plants=\xff\xfe"):
            for command in ("plan", "needs", "sheet"):
                with self.subTest(change=change[:40], command=command):
                    result = run(command, book, "--set", change)
                    self.assert_status(result, 2)
                    self.assertEqual(result.out, "")
                    self.assertIn("error [", result.err)
                    self.assertNotIn("\x1b", result.err)

    def test_words_that_do_not_fit(self):
        book = self.book()
        for arguments in (["plan", book, "--settings"], ["needs", book, "--by", "day"],
                          ["needs", book, "--explain"]):
            self.assert_status(run(*arguments, "--set", "D1.plants=3"), 2)
        self.assert_status(run("sheet", book, "--cells", "cuting_up.left"), 2)
        self.assert_status(run("sheet", book, "--batch", "D3"), 2)
        self.assert_status(run("plan", book, "--set"), 2)


if __name__ == "__main__":
    PROGRAM = os.path.abspath(sys.argv.pop(1))
    unittest.main()
