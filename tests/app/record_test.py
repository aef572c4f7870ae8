"""Notes what happened in a small book with the program: python3 record_test.py PROGRAM"""

import datetime
import json
import os
import pathlib
import sqlite3
import stat
import subprocess
import sys
import threading
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from record_book import BATCHES, RecordBook


class Entries(RecordBook):
    def test_entries_are_noted_listed_and_followed(self):
        ids = self.note(
            "W1/grafting/1/1 done on 2027-04-02 by Ana, 80 plants, 1 h 20 min, used 9 m tape",
            "W1/healing started on 2027-04-05",
            'W1/healing seen callus 70 % on 2027-04-09 by "Ana-Maria"',
            "stock mix 140 L on 2027-04-09",
        )
        self.assertEqual(len(ids), 4)
        entries = self.listed()
        self.assertEqual([e["what"] for e in entries], ["done", "started", "seen", "stock"])
        self.assertEqual([e["id"][:8] for e in entries], ids)
        self.assertTrue(all(e["holds"] for e in entries))
        self.assertEqual(entries[0]["used"], [{"amount": 9.0, "unit": "m", "supply": "tape"}])
        self.assertEqual(self.stage("W1", "healing")["start"], "2027-04-05")
        done = [o for o in self.plan()[0]["batches"][0]["work_orders"] if o["id"] == "W1/grafting/1/1"]
        self.assertEqual(done[0]["date"], "2027-04-02")

    def test_lists_are_chosen(self):
        self.note("W1/healing started on 2027-04-05 by Ana", "W2/healing started on 2027-04-12 by Ben",
                  "W2/healing ended on 2027-04-22 by Ana")
        self.assertEqual(len(self.listed("--batch", "W2")), 2)
        self.assertEqual(len(self.listed("--by", "Ana")), 2)
        self.assertEqual(len(self.listed("--from", "2027-04-06", "--to", "2027-04-12")), 1)
        table = self.record().stdout
        self.assertIn("Mon 2027-04-12  Ben  W2/healing started", table)
        self.assertIn("3 entries", table)
        rows = self.record("--format", "csv").stdout.splitlines()
        self.assertEqual(len(rows), 4)
        self.assertTrue(rows[1].startswith(self.listed()[0]["id"]))

    def test_all_or_none(self):
        run = self.record("W1/healing started on 2027-04-05", "W1/heeling ended", "W9 stopped \"x\"")
        self.assertEqual(run.returncode, 1)
        self.assertIn("entries:2:1", run.stderr)
        self.assertIn("Did you mean `healing`?", run.stderr)
        self.assertIn("entries:3:1", run.stderr)
        self.assertIn("Nothing was noted.", run.stderr)
        self.assertEqual(run.stdout, "")
        self.assertEqual(self.listed(), [])

    def test_lines_of_a_file(self):
        path = self.write("today.txt", "# Monday\nW1/healing started\n\nW1/healing lost 2 plants \"rot\" by Ben\n")
        run = self.record("--read", path, "--on", "2027-04-05", "--by", "Ana")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual([(e["day"], e["by"]) for e in self.listed()],
                         [("2027-04-05", "Ana"), ("2027-04-05", "Ben")])

    def test_corrections_and_withdrawals(self):
        expected = self.stage("W1", "healing")["left"]
        first, count = self.note("W1/healing started on 2027-04-05", "W1/healing counted 60 on 2027-04-12")
        self.assertEqual(self.stage("W1", "healing")["left"], 60)
        self.note(f"correct {first} with W1/healing started on 2027-04-06")
        self.assertEqual(self.stage("W1", "healing")["start"], "2027-04-06")
        self.note(f'withdraw {count} "miscounted"')
        self.assertEqual(self.stage("W1", "healing")["left"], expected)
        self.assertEqual([e["holds"] for e in self.listed()], [False, False, True, False])
        self.assertIn("corrected by", self.record().stdout)
        self.assertIn("withdrawn by", self.record().stdout)
        run = self.record("withdraw zzzz")
        self.assertEqual(run.returncode, 1)
        self.assertIn("unknown-entry", run.stderr)

    def test_what_is_strange_is_noted_and_told(self):
        run = self.record("W1/healing lost 9 rot on 2027-04-06")
        self.assertEqual(run.returncode, 0)
        self.assertIn("lost-uncounted", run.stderr)
        self.assertIn("lost-uncounted", self.plan()[1])
        run = self.record("W1/healing counted 900 on 2027-04-07")
        self.assertEqual(run.returncode, 0)
        self.assertIn("many-recorded", run.stderr)
        run = self.record("W1/healing counted 60 on 2027-04-07")
        self.assertIn("record-differs", run.stderr)
        self.assertEqual(self.stage("W1", "healing")["left"], 60)
        run = self.record("W1/grafting started on 2027-04-01")
        self.assertEqual((run.returncode, run.stderr), (0, ""))  # what was told before is not told again

    def test_what_cannot_be_is_refused(self):
        self.note("W1/healing started on 2027-04-05", 'W2 stopped on 2027-04-10 "frost"')
        for line, code in (("W1/healing ended on 2027-04-04", "ended-before-start"),
                           ("W2/grafting/1/1 done on 2027-04-11", "after-stop"),
                           ("W1/healing counted 9 on 2072-04-12", "far-day"),
                           ("stock mix 9 L on 2072-04-12", "far-day"),
                           ("W1/healing lost 9 on 2017-04-12", "far-day")):
            run = self.record(line)
            self.assertEqual(run.returncode, 1, line)
            self.assertIn(code, run.stderr)
        self.assertEqual(len(self.listed()), 2)

    def test_what_was_noted_last_of_one_order_holds_and_is_told_once(self):
        self.note("W1/grafting/1/1 done on 2027-04-01", "W1/grafting/1/1 done on 2027-04-02",
                  'W1/healing/1/1 done on 2027-04-05', 'W1/healing/1/1 left out on 2027-04-06 "no"',
                  'W1/healing/1/2 left out on 2027-04-06 "no"', "W1/healing/1/2 done on 2027-04-08",
                  'W2 stopped on 2027-04-08 "hail"', 'W2 stopped on 2027-04-09 "frost"')
        plan, said = self.plan()
        self.assertEqual(said.count("[record-differs]"), 4, said)
        orders = {o["id"]: o for o in plan["batches"][0]["work_orders"]}
        self.assertEqual(orders["W1/grafting/1/1"]["date"], "2027-04-02")
        self.assertEqual(orders["W1/healing/1/1"]["state"], "left out")
        self.assertEqual(orders["W1/healing/1/2"]["state"], "done")
        self.assertIn("2027-04-09: frost", json.dumps(self.plan("--all")[0]["notes"]))

    def test_a_batch_is_closed_when_its_last_plants_are_gone(self):
        self.note("W1/grafting/1/1 done on 2027-04-02", "W1/healing started on 2027-04-05",
                  "W1/healing counted 40 on 2027-04-16")
        self.assertIn("too-few", self.plan()[1])
        self.note("W1/healing ended on 2027-04-16")
        plan, said = self.plan()
        self.assertEqual([b["batch"] for b in plan["batches"]], ["W2"])
        self.assertNotIn("W1", json.dumps(plan["notes"]) + json.dumps(plan["conflicts"]))
        self.assertNotIn("too-few", said)  # there is nothing to act on any more
        self.assertNotIn("Batch W1", self.run_program("plan").stdout)
        for words in (["--all"], ["--batch", "W1"]):
            batch = self.plan(*words)[0]["batches"][0]
            self.assertEqual((batch["batch"], batch["state"], batch["over"]), ("W1", "closed", "2027-04-16"))
            # What was done is there, what nobody noted is not due.
            self.assertEqual([o["id"] for o in batch["work_orders"]], ["W1/grafting/1/1"])
        notes = json.dumps(self.plan("--all")[0]["notes"])
        self.assertIn("Closed on Fri 2027-04-16: its last plants were gone. Of 2 work orders nobody noted", notes)
        self.assertIn("Batch W1: 80 plants, closed on Fri 2027-04-16", self.run_program("plan", "--all").stdout)
        # Before that day it was under way.
        self.assertEqual(len(self.plan("--today", "2027-04-15")[0]["batches"]), 2)
        needs = json.loads(self.run_program("needs", "--format", "json").stdout)
        self.assertNotIn("W1", json.dumps(needs.get("conflicts", [])))

    def test_plants_that_were_counted_as_none_close_a_batch(self):
        self.note("W1/grafting/1/1 done on 2027-04-02", "W1/grafting counted 0 on 2027-04-03")
        plan, _ = self.plan("--all")
        self.assertEqual([b.get("over") for b in plan["batches"]], ["2027-04-03", None])

    def test_counts_less_what_was_lost_since(self):
        self.note("W1/healing counted 70 on 2027-04-08", "W1/healing lost 4 on 2027-04-09",
                  "W1/healing lost 9 on 2027-04-06", "W1/healing counted 20 of 30 on 2027-04-10")
        self.assertEqual(self.stage("W1", "healing")["left"], 66)

    def test_what_is_told_in_two_ways_is_told(self):
        self.note("W1/healing started on 2027-04-05", "W1/healing started on 2027-04-06")
        plan, said = self.plan()
        self.assertIn("record-differs", said)
        self.assertEqual(self.stage("W1", "healing")["start"], "2027-04-06")

    def test_the_book_is_taken_over(self):
        self.write("batches.yaml", BATCHES.replace(
            "start: 2027-04-01}", "start: 2027-04-01, recorded: {healing.start: 2027-04-05, "
            "healing.left: 66}, done: {grafting/1/1: 2027-04-02}}"))
        before, said = self.plan()
        self.assertIn("kept-in-batches", said)
        run = self.record("--from-book")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("3 entries noted", run.stdout)
        self.assertIn("can now be taken out", run.stdout)
        self.assertIn("can be taken out", self.record("--from-book").stdout)
        self.write("batches.yaml", BATCHES)
        after, said = self.plan()
        self.assertNotIn("kept-in-batches", said)
        def told(plan):
            batch = plan["batches"][0]
            return ([(s["start"], s["left"]) for s in batch["stages"] if s["stage"] == "healing"] +
                    [o["date"] for o in batch["work_orders"] if o["id"] == "W1/grafting/1/1"])
        self.assertEqual(told(after), told(before))
        # With a record the plan goes on from its last day, and work that was done tells when its stage began.
        self.assertEqual(self.stage("W1", "grafting")["start"], "2027-04-02")
        self.write("batches.yaml", BATCHES.replace(
            "start: 2027-04-01}", "start: 2027-04-01, recorded: {healing.start: 2027-04-07}}"))
        self.assertIn("record-differs", self.plan()[1])
        self.assertEqual(self.stage("W1", "healing")["start"], "2027-04-05")

    def test_why_tells_who_recorded_it_and_when(self):
        self.note("W1/grafting/1/1 done on 2027-04-02 by Ana", "W1/healing started on 2027-04-05 by Ben",
                  "W1/healing counted 70 on 2027-04-08 by Zoe")
        noted = datetime.datetime.now(datetime.timezone.utc)
        noted = f"{noted:%a} {noted.day} {noted:%B %Y}"

        def why(cell):
            return " ".join(self.run_program("why", "W1", cell).stdout.split())

        self.assertIn(f"W1 starts `healing` on Mon 5 April 2027, as recorded by Ben on {noted} (entry ",
                      why("healing.start"))
        self.assertIn("because `W1/grafting/1/1` was done on Fri 2 April 2027, as recorded by Ana on "
                      f"{noted} (entry ", why("grafting.start"))
        self.assertIn("`healing` was started on Mon 5 April, as recorded by Ben", why("ready"))
        self.assertIn("counted by Zoe on Thu 8 April 2027 (entry ", why("healing.left"))
        self.note("W1/healing lost 3 rot on 2027-04-09")
        self.assertIn("67 plants of W1 came through `healing`: counted, less what was lost since, last on Fri 9 April "
                      "2027 (entry ", why("healing.left"))

    def test_series_and_cultivars(self):
        self.write("batches.yaml", "batches:\n"
                   "  - {batch: S, protocol: whips, plants: 80, start: 2027-04-01, every: 1 week, times: 2}\n"
                   "  - {batch: C, protocol: whips, start: 2027-04-01, cultivars: {Rex: 20, Bonita: 30}}\n")
        plan, _ = self.plan()
        names = [b["batch"] for b in plan["batches"]]
        self.note(f"{names[1]}/healing started on 2027-04-13", "C/healing started on 2027-04-06",
                  f"{names[3]}/healing counted 17")
        self.assertEqual(self.stage(names[1], "healing")["start"], "2027-04-13")
        self.assertEqual(self.stage(names[2], "healing")["start"], "2027-04-06")
        self.assertEqual(self.stage(names[3], "healing")["start"], "2027-04-06")
        self.assertEqual(self.stage(names[3], "healing")["left"], 17)

    def test_plants_of_cultivars_are_noted_for_each(self):
        self.write("batches.yaml", "batches:\n"
                   "  - {batch: C, protocol: whips, start: 2027-04-01, cultivars: {Rex: 20, Bonita: 30}}\n")
        run = self.record("C/healing counted 40 on 2027-04-12")
        self.assertEqual(run.returncode, 1)
        self.assertIn("which-cultivar", run.stderr)
        self.assertIn("`C-c1` and `C-c2`", run.stderr)
        # From elsewhere it may come all the same, and is not passed over without a word.
        self.note("C-c1/healing counted 18 on 2027-04-12")
        lines = [json.loads(line) for line in self.record("--export").stdout.splitlines()]
        lines[0].update(id="k7m2q9x4t3v8b5n6", batch="C")
        self.record("--import", self.write("other.jsonl", json.dumps(lines[0]) + "\n"))
        plan, said = self.plan()
        self.assertEqual(said.count("[two-counts]"), 1, said)
        self.assertEqual(self.stage("C-c1", "healing")["left"], 18)

    def test_what_is_typed_every_day(self):
        before = datetime.date.today()
        self.note("W1/grafting/1/1 done today by Ana, 291 plants, 6 h 10 min", "W1/healing lost 12 damping off today",
                  "W1/healing seen callus 16 of 20", "stock mix 140 L on hand")
        days = {e["day"] for e in self.listed()}
        self.assertLessEqual(days, {before.isoformat(), datetime.date.today().isoformat()})
        self.assertEqual(self.listed()[1]["words"], "damping off")

    def test_export_and_import_lose_nothing_and_twice_does_no_harm(self):
        first = self.note('W1/grafting done on 2027-04-02 by "Zoë", 1 h 20 min, used 9.1 m tape, "ä \\"q\\""')
        self.note(f"correct {first[0]} with W1/grafting done on 2027-04-03",
                  "W1/healing counted 61 of 80 in tray 7", 'W2 stopped "frost"')
        whole = self.record("--export").stdout
        path = pathlib.Path(self.holder.name) / "all.jsonl"
        path.write_text(whole)
        run = self.record("--import", str(path))
        self.assertIn("0 entries taken in, 4 there already", run.stdout)
        (self.folder / "record.db").unlink()
        run = self.record("--import", str(path))
        self.assertIn("4 entries taken in, 0 there already", run.stdout)
        self.assertEqual(self.record("--export").stdout, whole)
        changed = whole.replace("frost", "hail")
        path.write_text(changed)
        run = self.record("--import", str(path))
        self.assertEqual(run.returncode, 1)
        self.assertEqual(self.record("--export").stdout, whole)
        path.write_text("W1 ended\n")
        run = self.record("--import", str(path))
        self.assertEqual(run.returncode, 1)
        self.assertIn("not-json", run.stderr)

    def test_misuse(self):
        for words in (["--import", "x", "--export"], ["W1 ended", "--batch", "W1"], ["--on", "2027-04-01"],
                      ["--from", "2027-04-02", "--to", "2027-04-01"], ["--export", "--by", "Ana"],
                      ["W1 ended", "--on", "4 April"], ["W1 ended", "--format", "csv"],
                      ["W1 ended", "--out", "x"], ["--import", "x", "--out", "y"], ["--from-book", "--format", "json"],
                      ["--export", "--format", "json"], ["--batch", "W3"], ["--batch", "w1", "--format", "csv"]):
            run = self.record(*words)
            self.assertEqual(run.returncode, 2, words)
            self.assertEqual(run.stdout, "", words)
        self.assertFalse((self.folder / "record.db").exists())

    def test_a_batch_without_dates_takes_entries(self):
        self.write("batches.yaml", BATCHES.replace(
            "start: 2027-04-01}", "start: 2027-04-01, pins: {healing.start: 2027-04-01}}"))
        self.note("W1/grafting/1/1 done", "W1/healing/1/2 done")


class Troubles(RecordBook):
    def test_no_command_writes_over_a_record(self):
        self.note("W1/healing started on 2027-04-05")
        db = sqlite3.connect(self.folder / "record.db")  # keeps the log beside it
        db.execute("select count(*) from entries").fetchall()
        whole = self.record("--export").stdout
        hard = pathlib.Path(self.holder.name) / "other name"
        os.link(self.folder / "record.db", hard)
        soft = pathlib.Path(self.holder.name) / "link"
        soft.symlink_to(self.folder / "record.db")
        targets = [self.folder / name for name in ("record.db", "record.db-wal", "record.db-shm", "record.db.form1")]
        protocol = self.folder / "whips.bud"
        for target in (*targets, hard, soft):
            out = ["--out", str(target)]
            for words in (["plan"], ["plan", "--format", "ics"], ["plan", "--returns", "--format", "xlsx"], ["needs"],
                          ["load"], ["sheet"], ["print"], ["record"], ["record", "--export"], ["editions"]):
                with self.subTest(target=target.name, words=words):
                    run = self.run_program(*words, *out)
                    self.assertEqual(run.returncode, 1, run.stdout)
                    # An older calendar is read first, to be carried on: this is none.
                    self.assertRegex(run.stderr, "was not written|not-text|left as it is")
            if target == hard:
                continue  # who reads no book does not know its files by another name
            for words in (["graph", protocol], ["compare", protocol, protocol], ["pack", protocol]):
                with self.subTest(target=target.name, words=words):
                    run = subprocess.run([self.program, *map(str, words), *out], capture_output=True, text=True)
                    self.assertNotEqual(run.returncode, 0, run.stdout)
                    self.assertIn("was not written", run.stderr)
        self.assertEqual(self.record("--export").stdout, whole)
        db.close()

    def test_a_place_for_the_record_that_cannot_be_read_is_told_and_nothing_is_noted_elsewhere(self):
        for line in ("record: records.db\n", "record: postgres:/x\n", "recrod: postgresql://x/y\n"):
            with self.subTest(line=line):
                self.write("site.yaml", "site: Whip Yard\n" + line)
                self.write("all.jsonl", "")
                for words in (["W1/healing started on 2027-04-05"], ["--import", str(self.folder / "all.jsonl")],
                              ["--from-book"], [], ["--export"]):
                    run = self.record(*words)
                    self.assertEqual(run.returncode, 1, words)
                    self.assertIn("site.yaml:2:", run.stderr)
                    self.assertIn("record", run.stderr)
                    self.assertEqual(run.stdout, "")
                self.assertEqual(list(self.folder.glob("record*")), [])

    def test_a_first_note_that_fails_leaves_no_record(self):
        self.write("bad.jsonl", "{}\n")
        for words in (["W1/healing stared"], ["withdraw k7m2q9x4"], ["--import", str(self.folder / "bad.jsonl")],
                      ["--from-book"]):
            self.record(*words)
            self.assertEqual(list(self.folder.glob("record.db*")), [], words)

    def test_no_file_takes_the_place_of_a_record_that_is_not_there_yet(self):
        run = self.run_program("plan", "--out", str(self.folder / "record.db"))
        self.assertIn("was not written", run.stderr)
        self.assertFalse((self.folder / "record.db").exists())
        self.note("W1/healing started on 2027-04-05")

    def test_a_read_only_book_is_read_and_nothing_is_noted_in_it(self):
        self.note("W1/healing started on 2027-04-05")
        os.chmod(self.folder, stat.S_IRUSR | stat.S_IXUSR)
        os.chmod(self.folder / "record.db", stat.S_IRUSR)
        try:
            other = self.as_nobody()
            self.assertEqual(self.stage("W1", "healing")["start"], "2027-04-05")
            run = self.record("W1/healing ended on 2027-04-15", **other)
            self.assertEqual(run.returncode, 1, run.stdout)
            self.assertIn("record.db", run.stderr)
            self.assertEqual(run.stdout, "")
        finally:
            os.chmod(self.folder, stat.S_IRWXU)
        self.assertEqual(len(self.listed()), 1)

    def as_nobody(self):
        """Rights mean nothing to root."""
        if os.geteuid() != 0:
            return {}
        os.chmod(self.holder.name, 0o755)
        os.chmod(self.folder, 0o555)
        for path in self.folder.iterdir():
            os.chmod(path, 0o444)
        return {"user": 65534, "group": 65534, "extra_groups": []}

    def test_a_full_disk_notes_nothing_and_says_so(self):
        self.note("W1/healing started on 2027-04-05")
        size = (self.folder / "record.db").stat().st_size // 1024 + 40
        import resource

        def limit():
            resource.setrlimit(resource.RLIMIT_FSIZE, (size * 1024, size * 1024))

        lines = "".join(f'W1 note "{i} {"x" * 900}"\n' for i in range(400))
        path = self.write("many.txt", lines)
        run = self.record("--read", path, preexec_fn=limit)
        self.assertEqual(run.returncode, 1)
        self.assertIn("full", run.stderr)
        self.assertEqual(run.stdout, "")
        self.assertEqual(len(self.listed()), 1)
        self.assertEqual(self.record("--read", path).returncode, 0)
        self.assertEqual(len(self.listed()), 401)

    def test_an_older_form_is_brought_up_to_date_and_a_copy_is_kept(self):
        self.note("W1/healing started on 2027-04-05", 'W1 note "x"')
        whole = self.record("--export").stdout
        path = self.folder / "record.db"
        with sqlite3.connect(path) as db:  # form 1, as the first release of the record made it
            db.execute("update record_form set form = 1")
            db.execute("drop index entries_by_batch")
            db.execute("create index entries_by_batch on entries (batch, day)")
        db.close()
        self.assertEqual(self.record("--export").stdout, whole)  # reading changes nothing
        copy = self.folder / "record.db.form1"
        self.assertFalse(copy.exists())
        runs = [subprocess.Popen([self.program, "record", str(self.folder), f'W1 note "{i}"'],
                                 stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for i in range(6)]
        said = [run.communicate()[1] for run in runs]
        self.assertEqual([run.returncode for run in runs], [0] * 6, said)
        self.assertEqual(sum("brought up to date" in words for words in said), 1, said)
        self.assertEqual(len(self.listed()), 8)
        with sqlite3.connect(path) as db:
            self.assertEqual(db.execute("select form from record_form").fetchall(), [(3,)])
            self.assertIn("turn", db.execute("select sql from sqlite_master where name = 'entries_by_batch'")
                          .fetchone()[0])
        db.close()
        path.unlink()
        copy.rename(path)
        self.assertEqual(self.record("--export").stdout, whole)
        self.assertEqual([p.name for p in self.folder.glob("record.db*")], ["record.db"])

    def test_a_file_in_use_is_waited_for_and_then_told(self):
        self.note("W1/healing started on 2027-04-05")
        db = sqlite3.connect(self.folder / "record.db", isolation_level=None, check_same_thread=False)
        db.execute("begin immediate")
        waiting = threading.Timer(2, lambda: db.execute("rollback"))
        waiting.start()
        self.note("W1/healing ended on 2027-04-15")
        waiting.join()
        db.execute("begin immediate")
        try:
            run = self.record("W2/healing ended on 2027-04-22")
            self.assertEqual(run.returncode, 1)
            self.assertIn("in use by another program", run.stderr)
            self.assertEqual(len(self.listed()), 2)  # reading goes on
        finally:
            db.execute("rollback")
            db.close()

    def test_a_newer_form_is_refused(self):
        self.note("W1/healing started on 2027-04-05")
        with sqlite3.connect(self.folder / "record.db") as db:
            db.execute("update record_form set form = 999")
        out = self.folder / "saved.jsonl"
        for words in (["W1/healing ended on 2027-04-15"], [], ["--export"], ["--export", "--out", str(out)]):
            run = self.record(*words)
            self.assertEqual(run.returncode, 1)
            self.assertIn("newer release", run.stderr)
            self.assertEqual(run.stdout, "")
            self.assertNotIn("could be read", run.stderr)
        self.assertFalse(out.exists())
        self.assertIn("no-record", self.plan()[1])

    def test_an_entry_that_cannot_be_is_damage_too(self):
        self.note("W1/healing started on 2027-04-05", "W1/healing ended on 2027-04-15")
        with sqlite3.connect(self.folder / "record.db") as db:
            db.execute("update entries set day = 2000000000 where what = 'ended'")
        db.close()
        self.assertIn("damaged", self.plan()[1])
        run = self.record("--export")
        self.assertEqual(run.returncode, 1)
        self.assertEqual([json.loads(line)["what"] for line in run.stdout.splitlines()], ["started"])
        self.assertIn("1 entry could be read all the same", run.stderr)

    def test_a_damaged_file_is_told_and_saved_as_far_as_it_goes(self):
        lines = "".join(f'W1 note "{i} {"x" * 300}"\n' for i in range(500))
        self.record("--read", self.write("many.txt", lines))
        path = self.folder / "record.db"
        whole = bytearray(path.read_bytes())
        middle = len(whole) // 4096 // 2 * 4096
        whole[middle:middle + 4096] = b"\xa5" * 4096
        path.write_bytes(whole)
        run = self.record()
        self.assertEqual(run.returncode, 1)
        self.assertIn("damaged", run.stderr)
        run = self.record("--export")
        self.assertEqual(run.returncode, 1)
        saved = [json.loads(line) for line in run.stdout.splitlines()]
        self.assertGreater(len(saved), 450)
        rescued = self.write("saved.jsonl", run.stdout)
        path.unlink()
        self.assertEqual(self.record("--import", rescued).returncode, 0)
        path.write_bytes(b"no database at all" * 400)
        run = self.record("W1/healing ended on 2027-04-15")
        self.assertEqual(run.returncode, 1)
        self.assertIn("damaged", run.stderr)


if __name__ == "__main__":
    RecordBook.program = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
