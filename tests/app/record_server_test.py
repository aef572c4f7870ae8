"""Keeps a record in a PostgreSQL server of its own: python3 record_server_test.py PROGRAM

The server listens on a socket in a temporary folder alone. Skipped where PostgreSQL is not installed.
"""

import glob
import os
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from record_book import SITE, RecordBook

FOUND = sorted(glob.glob("/usr/lib/postgresql/*/bin/initdb"))


class Server:
    """A server that is gone with its folder."""

    def __init__(self):
        self.bin = pathlib.Path(FOUND[-1]).parent
        self.holder = tempfile.mkdtemp(prefix="pg")
        self.data = self.holder + "/data"
        # PostgreSQL does not run as root.
        self.user = "postgres" if os.geteuid() == 0 else None
        if self.user:
            shutil.chown(self.holder, self.user, self.user)
        os.chmod(self.holder, 0o755)
        self.run("initdb", "-D", self.data, "-A", "trust", "-U", "keeper", "-E", "UTF8", "--locale=C.UTF-8")
        self.start()
        self.run("createdb", "-h", self.holder, "-U", "keeper", "nursery")

    def run(self, name, *arguments):
        subprocess.run([str(self.bin / name), *arguments], check=True, stdout=subprocess.DEVNULL,
                       stderr=subprocess.DEVNULL, user=self.user, cwd=self.holder)

    def start(self):
        self.run("pg_ctl", "-D", self.data, "-w", "-l", self.holder + "/log", "-o",
                 f"-k {self.holder} -c listen_addresses=''", "start")

    def stop(self):
        self.run("pg_ctl", "-D", self.data, "-w", "-m", "immediate", "stop")

    def address(self):
        return f"postgresql:///nursery?host={self.holder}&user=keeper"

    def close(self):
        subprocess.run([str(self.bin / "pg_ctl"), "-D", self.data, "-m", "immediate", "stop"], user=self.user,
                       cwd=self.holder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        shutil.rmtree(self.holder)


class ServerRecord(RecordBook):
    @classmethod
    def setUpClass(cls):
        cls.server = Server()

    @classmethod
    def tearDownClass(cls):
        cls.server.close()

    def setUp(self):
        super().setUp()
        self.server.run("dropdb", "-h", self.server.holder, "-U", "keeper", "nursery")
        self.server.run("createdb", "-h", self.server.holder, "-U", "keeper", "nursery")
        self.write("site.yaml", SITE + f"record: {self.server.address()}\n")

    def test_a_record_in_a_server_is_like_one_in_a_file(self):
        self.assertEqual(self.listed(), [])
        first, _ = self.note(
            'W1/grafting done on 2027-04-02 by "Zoë", 1 h 20 min, used 9.1 m tape, "ä \\"q\\""',
            "W1/healing started on 2027-04-05")
        self.note(f"correct {first} with W1/grafting done on 2027-04-03",
                  "W1/healing counted 61 of 80 in tray 7", "stock mix 140 L")
        self.assertFalse((self.folder / "record.db").exists())
        self.assertEqual(self.stage("W1", "healing")["start"], "2027-04-05")
        turns = [e["turn"] for e in self.listed("--batch", "W1")]
        self.assertEqual(turns, sorted(set(turns)))
        self.assertEqual(len(self.listed("--from", "2027-04-05", "--to", "2027-04-05")), 1)
        self.assertEqual(len(self.listed("--by", "Zoë")), 1)
        whole = self.record("--export").stdout
        path = pathlib.Path(self.holder.name) / "all.jsonl"
        path.write_text(whole)
        self.assertIn("0 entries taken in, 5 there already", self.record("--import", str(path)).stdout)
        # The same entries in a file give the same export, and the same plan.
        plan = self.plan()[0]
        self.write("site.yaml", SITE)
        self.assertIn("5 entries taken in", self.record("--import", str(path)).stdout)
        self.assertEqual(self.record("--export").stdout, whole)
        # But for where the entries stand.
        place = re.compile(r'"line": "[^"]*record(\.db)?:')
        same = [place.sub('"line": "record:', json.dumps(one)) for one in (self.plan()[0], plan)]
        self.assertEqual(same[0], same[1])

    def test_an_older_form_is_brought_up_to_date_and_a_copy_is_kept(self):
        first = self.note("W1/healing started on 2027-04-05", 'W1 note "x"')[0]
        self.note(f"correct {first} with W1/healing started on 2027-04-06")
        before = [e["id"] for e in self.listed()]
        whole = self.record("--export").stdout

        def sql(words):
            self.server.run("psql", "-h", self.server.holder, "-U", "keeper", "-c", words, "nursery")

        sql("update record_form set form = 2")
        sql("update entries set turn = n from (select id as i, row_number() over (order by turn) as n from entries) as c "
            "where c.i = entries.id")
        self.assertEqual([e["id"] for e in self.listed()], before)
        self.assertIn("brought up to date", self.record('W1 note "y"').stderr)
        self.assertEqual([e["id"] for e in self.listed()][:3], before)
        path = self.write("all.jsonl", whole)
        self.assertIn("0 entries taken in, 3 there already", self.record("--import", path).stdout)
        self.assertEqual([e["holds"] for e in self.listed()], [False, True, True, True])
        sql("select id from entries_form2")

    def test_many_write_at_once_while_the_server_goes_away_and_comes_back(self):
        self.note("W1/healing started on 2027-04-05")
        confirmed = []
        failed = []
        lock = threading.Lock()

        def work(writer):
            for turn in range(12):
                run = self.record(f'W1 note "{writer}-{turn}"')
                with lock:
                    if run.returncode == 0:
                        confirmed.extend(re.findall(r'"(\d+-\d+)"', run.stdout))
                    else:
                        failed.append(run.stderr)

        threads = [threading.Thread(target=work, args=(w,)) for w in range(8)]
        for thread in threads:
            thread.start()
        self.server.stop()
        run = self.record("W1/healing ended on 2027-04-15")
        self.assertEqual(run.returncode, 1)
        self.assertIn("does not answer", run.stderr)
        self.assertIn("no-record", self.plan()[1])
        self.server.start()
        for thread in threads:
            thread.join()
        notes = [e["words"] for e in self.listed() if e["what"] == "note"]
        self.assertEqual(len(notes), len(set(notes)))
        self.assertLessEqual(set(confirmed), set(notes))
        for words in failed:
            self.assertIn("record", words)

    def test_an_address_that_is_none_is_told(self):
        self.write("site.yaml", SITE + "record: records.example.org\n")
        self.assertIn("postgresql://", self.plan()[1])


if __name__ == "__main__":
    RecordBook.program = str(pathlib.Path(sys.argv.pop(1)).resolve())
    if not FOUND:
        print("skipped: PostgreSQL is not installed")
        sys.exit(77)
    unittest.main()
