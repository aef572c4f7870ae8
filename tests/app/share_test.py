"""Protocols that travel between sites: python3 share_test.py PROGRAM"""

import csv
import hashlib
import io
import json
import os
import pathlib
import shutil
import stat
import struct
import subprocess
import sys
import tempfile
import unittest
import zipfile

PROGRAM = ""

PROTOCOL = """protocol division "Division of clumps" {
  edition 1
  crop "hosta"
  supply mix "Potting mix" in L pack 50 L
  part crown "Crown"
  stage cutting_up of crown {
    lasts 1 day
    room bench
    do "Wash, cut into crowns" on day 1 { rate 40 per hour  crew potting }
  }
  stage growing_on of crown {
    lasts 5 weeks to 7 weeks usually 6 weeks
    room tunnel
    loses 10 %
    do "Pot on" on last day { rate 80 per hour  crew potting  use 1.5 L mix each }
  }
}
"""
SECOND = PROTOCOL.replace("edition 1", "edition 2").replace("usually 6 weeks", "usually 7 weeks")
RULES = """rules house "House rules" {
  rule days { for each stage s { advise s.days >= 1 day else "short" } }
}
"""
SITE = """site: Willow Yard
working: {days: [mon, tue, wed, thu, fri]}
rooms: {bench: {}, tunnel: {}}
crews: {potting: {people: 2, hours: 6 h, cost: 20 EUR per hour}}
rules: [house]
"""
BATCHES = """batches:
  - {batch: D1, protocol: division, plants: 120, ready: 2027-06-11}
"""


def run(*arguments, cwd=None):
    return subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, text=True, cwd=cwd,
                          check=False, timeout=120)


def snapshot(folder):
    """Every file and folder with its bytes and mode."""
    found = {}
    for path in sorted(pathlib.Path(folder).rglob("*")):
        data = path.read_bytes() if path.is_file() else None
        found[str(path.relative_to(folder))] = (data, path.lstat().st_mode)
    return found


def protocol_file(manifest):
    """The first file of a manifest that is no page."""
    return next(one for one in manifest["files"] if one["holds"])


class Case(unittest.TestCase):
    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="budwood_share_"))
        self.addCleanup(shutil.rmtree, self.folder)
        self.home = self.make_book("home", SITE, PROTOCOL)

    def make_book(self, name, site, protocol):
        book = self.folder / name
        (book / "rules").mkdir(parents=True)
        (book / "site.yaml").write_text(site)
        (book / "batches.yaml").write_text(BATCHES)
        (book / "division.bud").write_text(protocol)
        (book / "rules" / "house.bud").write_text(RULES)
        return book

    def run_ok(self, *arguments, cwd=None):
        done = run(*arguments, cwd=cwd)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        return done.stdout

    def run_bad(self, status, *arguments):
        done = run(*arguments)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done.stderr


class Compare(Case):
    def files(self, before, after):
        one, other = self.folder / "a.bud", self.folder / "b.bud"
        one.write_text(before)
        other.write_text(after)
        return one, other

    def test_sentences(self):
        out = self.run_ok("compare", *self.files(PROTOCOL, SECOND))
        self.assertIn("From division edition 1 to division edition 2\n", out)
        self.assertIn("protocol: is edition 2 instead of 1.\n", out)
        self.assertIn("growing_on: usually 7 weeks instead of 6 weeks.\n", out)

    def test_nothing_changed(self):
        spaced = "# Moved about\n" + PROTOCOL.replace("    room bench\n", "").replace(
            "    lasts 1 day\n", "    room  bench\n    lasts 1 day\n")
        out = self.run_ok("compare", *self.files(PROTOCOL, spaced))
        self.assertIn("Nothing changed: both mean exactly the same", out)
        out = self.run_ok("compare", *self.files(PROTOCOL, PROTOCOL.replace("1 day\n", "24 h\n")))
        self.assertIn("Nothing changed: it is written in other words", out)

    def test_with_a_book(self):
        (self.home / "division_2.bud").write_text(SECOND.replace("loses 10 %", "loses 20 %"))
        (self.home / "batches.yaml").write_text(BATCHES.replace("division,", "division edition 1,"))
        out = self.run_ok("compare", "division edition 1", "division edition 2", "--book", self.home)
        self.assertIn("What it means at Willow Yard", out)
        self.assertIn("D1 first day", out)
        self.assertIn("7 days earlier", out)
        self.assertIn("D1 cost", out)
        # A file that the book does not have does the same.
        other = self.folder / "other.bud"
        shutil.move(self.home / "division_2.bud", other)
        again = self.run_ok("compare", self.home / "division.bud", other, "--book", self.home)
        self.assertEqual(out.splitlines()[3:], again.splitlines()[3:])

    def test_formats(self):
        files = self.files(PROTOCOL, SECOND)
        found = json.loads(self.run_ok("compare", *files, "--format", "json"))
        self.assertEqual(found["before"]["edition"], 1)
        self.assertFalse(found["same_meaning"])
        self.assertEqual([c["about"] for c in found["changes"]], ["edition", "usual length"])
        rows = list(csv.DictReader(io.StringIO(self.run_ok("compare", *files, "--format", "csv"))))
        self.assertEqual(rows[1]["before"], "6 weeks")
        found = json.loads(self.run_ok("compare", *files, "--book", self.home, "--format", "json"))
        self.assertTrue(any(d["name"] == "first_day" for d in found["differences"]))

    def test_what_cannot_be_told(self):
        one, other = self.files(PROTOCOL, PROTOCOL + SECOND)
        self.assertIn("holds several protocols", self.run_bad(2, "compare", one, other))
        self.run_ok("compare", one, other, "--protocol", "division edition 2")
        self.run_bad(1, "compare", one, self.folder / "none.bud")
        self.assertIn("There is no protocol `divison`",
                      self.run_bad(2, "compare", "divison", one, "--book", self.home))


class Editions(Case):
    def test_table_and_formats(self):
        out = self.run_ok("editions", self.home)
        self.assertRegex(out, r"division +1  Division of clumps +[0-9a-f]{12} +D1\n")
        self.assertRegex(out, r"house +1  House rules +[0-9a-f]{12} +the site\n")
        found = json.loads(self.run_ok("editions", self.home, "--format", "json"))["editions"]
        self.assertEqual(len(found[0]["fingerprint"]), 64)
        self.assertEqual(found[0]["batches"], ["D1"])
        self.run_ok("editions", self.home / "division.bud")

    def test_keep_and_move(self):
        self.assertIn("Kept in", self.run_ok("editions", self.home, "--keep"))
        (self.home / "division_2.bud").write_text(SECOND)
        plan = json.loads(self.run_ok("plan", self.home, "--format", "json"))
        self.assertEqual(plan["batches"][0]["edition"], 1)
        self.run_ok("editions", self.home, "--move", "D1")
        plan = json.loads(self.run_ok("plan", self.home, "--format", "json"))
        self.assertEqual(plan["batches"][0]["edition"], 2)
        self.run_ok("editions", self.home, "--move", "D1", "--to", "1")
        self.assertIn("no edition 7", self.run_bad(2, "editions", self.home, "--move", "D1", "--to", 7))
        self.assertIn("no batch `D9`", self.run_bad(2, "editions", self.home, "--move", "D9"))
        self.run_bad(2, "editions", self.home, "--to", "1")
        self.run_bad(2, "editions", self.home / "division.bud", "--keep")

    def test_a_change_under_the_same_number_is_told(self):
        self.run_ok("editions", self.home, "--keep")
        (self.home / "division.bud").write_text(PROTOCOL.replace("loses 10 %", "loses 12 %"))
        for command in ("check", "plan", "editions"):
            self.assertIn("edition-changed", run(command, self.home).stderr)
        self.run_ok("editions", self.home, "--keep")
        self.assertNotIn("edition-changed", run("check", self.home).stderr)

    def test_a_batch_under_way_had_better_say_its_edition(self):
        (self.home / "division_2.bud").write_text(SECOND)
        (self.home / "batches.yaml").write_text(BATCHES.replace(
            "2027-06-11}", "2027-06-11, recorded: {cutting_up.start: 2027-04-01}}"))
        self.assertIn("edition-open", run("check", self.home).stderr)
        self.run_ok("editions", self.home, "--keep")
        self.assertNotIn("edition-open", run("check", self.home).stderr)

    def test_a_lost_edition_is_told(self):
        self.run_ok("editions", self.home, "--keep")
        (self.home / "division.bud").write_text(SECOND)
        done = run("plan", self.home)
        self.assertEqual(done.returncode, 1)
        self.assertIn("There is no edition 1 of `division`, which batch `D1` is on.", done.stderr)

    def test_nothing_is_kept_of_a_book_with_errors(self):
        (self.home / "broken.bud").write_text("protocol x { part a stage s of a { lasts 3 litres } }")
        before = snapshot(self.home)
        self.assertIn("not kept while the book has errors", self.run_bad(1, "editions", self.home, "--keep"))
        self.assertEqual(snapshot(self.home), before)


class Packs(Case):
    def setUp(self):
        super().setUp()
        self.zip = self.folder / "spring.zip"
        self.south = self.make_book("south", SITE.replace("Willow", "South"), PROTOCOL)
        (self.south / "division.bud").unlink()
        (self.south / "batches.yaml").write_text(BATCHES.replace("division", "slips"))
        (self.south / "slips.bud").write_text(PROTOCOL.replace("division", "slips"))

    def pack(self, *more):
        return self.run_ok("pack", self.home, "--protocol", "division", "--out", self.zip, *more)

    def test_there_and_back(self):
        out = self.pack("--author", "A. Grower", "--licence", "CC0-1.0", "--note", "for spring")
        self.assertIn("division edition 1", out)
        self.assertIn("protocols/rules/house.bud", out)
        before = snapshot(self.south)
        out = self.run_ok("unpack", self.zip, "--into", self.south)
        self.assertIn("not signed", out)
        self.assertIn("Author: A. Grower", out)
        self.assertIn("Nothing was written; add --yes.", out)
        self.assertEqual(snapshot(self.south), before)
        out = self.run_ok("unpack", self.zip, "--into", self.south, "--yes")
        self.assertIn("Written:", out)
        self.assertEqual((self.south / "division.bud").read_text(), PROTOCOL)
        prints = [json.loads(self.run_ok("editions", book, "--format", "json"))["editions"][0]["fingerprint"]
                  for book in (self.home, self.south)]
        self.assertEqual(prints[0], prints[1])
        after = snapshot(self.south)
        self.assertIn("nothing to do", self.run_ok("unpack", self.zip, "--into", self.south, "--yes"))
        self.assertEqual(snapshot(self.south), after)

    def test_a_site_may_name_what_a_pack_brings(self):
        self.pack()
        (self.south / "site.yaml").write_text("site: South\nrules: [house]\n")
        (self.south / "batches.yaml").write_text(BATCHES)
        self.assertIn("Written:", self.run_ok("unpack", self.zip, "--into", self.south, "--yes"))
        self.assertIn("no errors", self.run_ok("check", self.south))
        # What nobody brings is still missing.
        (self.south / "site.yaml").write_text("site: South\nrules: [others]\n")
        self.run_bad(1, "unpack", self.zip, "--into", self.south, "--yes")

    def test_same_bytes(self):
        self.pack()
        first = self.zip.read_bytes()
        other = self.folder / "elsewhere"
        shutil.copytree(self.home, other)
        os.utime(other / "division.bud", (1, 1))
        self.run_ok("pack", other, "--protocol", "division", "--out", self.zip)
        self.assertEqual(self.zip.read_bytes(), first)

    def test_running_batches_stay(self):
        (self.south / "division.bud").write_text(PROTOCOL)
        (self.south / "batches.yaml").write_text(BATCHES)
        (self.home / "division.bud").write_text(SECOND)
        self.pack()
        out = self.run_ok("unpack", self.zip, "--into", self.south, "--yes")
        self.assertIn("Batches stay on the editions", out)
        self.assertEqual((self.south / "division_edition_2.bud").read_text(), SECOND)
        plan = json.loads(self.run_ok("plan", self.south, "--format", "json"))
        self.assertEqual(plan["batches"][0]["edition"], 1)

    def test_the_same_number_with_another_meaning_is_refused(self):
        (self.south / "division.bud").write_text(PROTOCOL.replace("10 %", "11 %"))
        self.pack()
        before = snapshot(self.south)
        self.assertIn("means something else",
                      self.run_bad(1, "unpack", self.zip, "--into", self.south, "--yes"))
        self.assertEqual(snapshot(self.south), before)

    def test_signatures(self):
        name = self.folder / "north_house"
        out = self.run_ok("keys", name)
        line = out.splitlines()[-1]
        secret, public = pathlib.Path(f"{name}.secret"), pathlib.Path(f"{name}.public")
        self.assertEqual(stat.S_IMODE(secret.stat().st_mode), 0o600)
        self.assertIn(public.read_text().splitlines()[1], line)
        kept = secret.read_bytes()
        self.assertIn("never written over", self.run_bad(1, "keys", name))
        self.assertEqual(secret.read_bytes(), kept)
        self.pack("--sign", secret)
        self.assertIn("does not know", self.run_ok("unpack", self.zip, "--into", self.south))
        with (self.south / "site.yaml").open("a") as site:
            site.write(line + "\n")
        self.assertIn("signed by north_house", self.run_ok("unpack", self.zip, "--into", self.south))
        self.run_bad(2, "pack", self.home, "--out", self.zip, "--sign", public)
        (self.south / "site.yaml").write_text(SITE + "trusts: {north_house: abc}\n")
        self.assertIn("A public key has 64 digits", run("check", self.south).stderr)

    def test_what_cannot_be_packed(self):
        self.run_bad(2, "pack", self.home)
        self.run_bad(2, "pack", self.home, "--protocol", "none", "--out", self.zip)
        self.run_bad(1, "pack", self.folder / "nowhere", "--out", self.zip)
        (self.home / "division.bud").write_text("protocol {")
        self.run_bad(1, "pack", self.home, "--out", self.zip)
        self.assertFalse(self.zip.exists())

    def entries(self):
        """The files of a good, signed pack."""
        key = self.folder / "key"
        self.run_ok("keys", key)
        self.pack("--sign", f"{key}.secret")
        with zipfile.ZipFile(self.zip) as pack:
            return {name: pack.read(name) for name in pack.namelist()}

    @staticmethod
    def zipped(entries, method=zipfile.ZIP_STORED):
        """Entries as (name, bytes, changes of the entry) in an archive."""
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", method) as pack:
            for name, data, change in entries:
                info = zipfile.ZipInfo(name)
                info.compress_type = method
                change(info)
                pack.writestr(info, data)
        return out.getvalue()

    def test_hostile_archives_leave_no_trace(self):
        good = self.entries()
        plain = lambda info: None

        def link(info):
            info.external_attr = (stat.S_IFLNK | 0o777) << 16

        def device(info):
            info.external_attr = (stat.S_IFCHR | 0o666) << 16

        def folder(info):
            info.external_attr = (stat.S_IFDIR | 0o755) << 16

        def with_more(*more):
            return self.zipped([(n, d, plain) for n, d in good.items()] + list(more))

        def with_change(name, change):
            changed = {n: change(d) if n == name else d for n, d in good.items()}
            return self.zipped([(n, d, plain) for n, d in changed.items()])

        def without(*names):
            return self.zipped([(n, d, plain) for n, d in good.items() if n not in names])

        def with_manifest(change):
            """A changed manifest, unsigned, so that it is looked into."""
            manifest = json.loads(good["manifest.json"])
            manifest = change(manifest) or manifest
            entries = {n: d for n, d in good.items() if n != "manifest.sig"}
            entries["manifest.json"] = json.dumps(manifest).encode()
            return self.zipped([(n, d, plain) for n, d in entries.items()])

        def named(name):
            """A manifest that names a file elsewhere, and the file under that name."""
            manifest = json.loads(good["manifest.json"])
            manifest["files"][0]["path"] = name
            entries = [(n, d, plain) for n, d in good.items()
                       if n not in ("manifest.sig", "manifest.json", "protocols/division.bud")]
            entries.append(("manifest.json", json.dumps(manifest).encode(), plain))
            entries.append((name, good["protocols/division.bud"], plain))
            return self.zipped(entries)

        def encrypted():
            data = bytearray(with_more())
            for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
                place = data.find(mark)
                while place >= 0:
                    data[place + at] |= 1
                    place = data.find(mark, place + 4)
            return bytes(data)

        def declared(size):
            """Sizes in the heads that are not those of the content."""
            data = bytearray(with_more())
            for mark, at in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
                place = data.find(mark)
                data[place + at:place + at + 4] = struct.pack("<I", size)
            return bytes(data)

        bad_protocol = good["protocols/division.bud"].replace(b"loses 10 %", b"loses 10 litres")

        def with_bad_protocol():
            manifest = json.loads(good["manifest.json"])
            manifest["files"][0]["size"] = len(bad_protocol)
            manifest["files"][0]["sha256"] = hashlib.sha256(bad_protocol).hexdigest()
            entries = {n: d for n, d in good.items() if n != "manifest.sig"}
            entries["manifest.json"] = json.dumps(manifest).encode()
            entries["protocols/division.bud"] = bad_protocol
            return self.zipped([(n, d, plain) for n, d in entries.items()])

        big = zipfile.ZIP_DEFLATED
        whole = with_more()
        hostile = {
            "no archive": b"protocol division { }",
            "nothing": b"",
            "cut off": whole[:len(whole) // 2],
            "without its end": whole[:-30],
            "up and out": with_more(("../evil.bud", b"x", plain)),
            "up and out inside": with_more(("protocols/../../evil.bud", b"x", plain)),
            "from the root": with_more(("/tmp/evil.bud", b"x", plain)),
            "backslash": with_more(("protocols\\evil.bud", b"x", plain)),
            "drive": with_more(("C:evil.bud", b"x", plain)),
            "hidden": with_more(("protocols/.evil.bud", b"x", plain)),
            "device name": with_more(("protocols/con.bud", b"x", plain)),
            "not plain": with_more(("protocols/gr\u00fcn.bud", b"x", plain)),
            "empty name": with_more(("", b"x", plain)),
            "control character": with_more(("protocols/a\nb.bud", b"x", plain)),
            "link": with_more(("protocols/link.bud", b"/etc/passwd", link)),
            "device": with_more(("protocols/device.bud", b"", device)),
            "folder": with_more(("protocols/deep/", b"", folder)),
            "folder as a file": with_more(("protocols/x.bud", b"", folder)),
            "other folder": with_more(("elsewhere/x.bud", b"x", plain)),
            "twice": with_more(("protocols/division.bud", good["protocols/division.bud"], plain)),
            "twice but for case": with_more(("protocols/DIVISION.bud", b"x", plain)),
            "second manifest": with_more(("manifest.json", b"{}", plain)),
            "not in the manifest": with_more(("protocols/more.bud", PROTOCOL.encode(), plain)),
            "missing file": without("protocols/division.bud"),
            "missing manifest": without("manifest.json", "manifest.sig"),
            "changed file": with_change("protocols/division.bud", lambda d: d.replace(b"10 %", b"90 %")),
            "changed manifest": with_change("manifest.json", lambda d: d.replace(b'"note": ""', b'"note": "x"')),
            "changed signature": with_change("manifest.sig", lambda d: d[:-2] + (b"0" if d[-2:-1] != b"0" else b"1") + b"\n"),
            "empty signature": with_change("manifest.sig", lambda d: b""),
            "no JSON": self.zipped([("manifest.json", b"\xff{", plain)]),
            "deep JSON": self.zipped([("manifest.json", b"[" * 500_000, plain)]),
            "JSON list": self.zipped([("manifest.json", b"[]", plain)]),
            "wrong type": with_manifest(lambda m: m.update(files={"a": 1})),
            "wrong entry": with_manifest(lambda m: m["files"].append(3)),
            "wrong size": with_manifest(lambda m: m["files"][0].update(size=-1)),
            "huge size": with_manifest(lambda m: m["files"][0].update(size=2 ** 62)),
            "wrong fingerprint": with_manifest(lambda m: protocol_file(m)["holds"][0].update(fingerprint="a" * 64)),
            "wrong name": with_manifest(lambda m: protocol_file(m)["holds"][0].update(name="other")),
            "later format": with_manifest(lambda m: m.update(budwood_pack=2)),
            "no files": with_manifest(lambda m: m.update(files=[])),
            "lies elsewhere": named("pages/division.bud"),
            "lies deeper": named("protocols/rules/more/division.bud"),
            "is no protocol": named("protocols/division.txt"),
            "lies above": named("division.bud"),
            "protocol with mistakes": with_bad_protocol(),
            "encrypted": encrypted(),
            "says it is empty": declared(0),
            "says it is huge": declared(0xFFFFFFF0),
            "large file": with_more(("pages/large.html", b"a" * (2 << 20), plain)),
            "bomb": self.zipped([("manifest.json", b"0" * (200 << 20), plain)], big),
            "bomb of many": self.zipped([(f"pages/{i}.html", b"0" * (1 << 20), plain) for i in range(80)], big),
            "too many": self.zipped([(f"pages/{i}.html", b"", plain) for i in range(1200)]),
        }
        before = snapshot(self.south)
        around = sorted(os.listdir(self.folder))
        for name, data in hostile.items():
            with self.subTest(name):
                self.zip.write_bytes(data)
                done = run("unpack", self.zip, "--into", self.south, "--yes")
                self.assertEqual(done.returncode, 1, done.stdout + done.stderr)
                self.assertIn("This pack is refused", done.stderr)
                self.assertIn("Nothing was written.", done.stderr)
                self.assertEqual(snapshot(self.south), before)
                self.assertEqual(sorted(os.listdir(self.folder)), around)
        self.assertFalse(os.path.exists("/tmp/evil.bud"))
        # The same archive, untouched, is fine.
        self.zip.write_bytes(whole)
        self.run_ok("unpack", self.zip, "--into", self.south, "--yes")

    def test_what_cannot_be_written_is_taken_back(self):
        self.pack()
        target = self.folder / "target"
        target.mkdir()
        (target / "rules").write_text("a file where a folder has to be")
        before = snapshot(target)
        self.assertIn("cannot be written", self.run_bad(1, "unpack", self.zip, "--into", target, "--yes"))
        self.assertEqual(snapshot(target), before)
        self.assertIn("There is no folder", self.run_bad(1, "unpack", self.zip, "--into", self.folder / "no"))
        self.run_bad(1, "unpack", self.folder / "none.zip")

    def test_what_a_pack_says_of_itself_begins_no_line(self):
        forged = "North house\nsigned by willow_yard\r\u2028\x1b[2Ksigned by alder"
        for word in ("--author", "--licence", "--note"):
            self.pack(word, forged)
            lines = self.run_ok("unpack", self.zip, "--into", self.south).splitlines()
            self.assertEqual([line for line in lines if line.startswith("signed by")], [])
            self.assertEqual(len([line for line in lines if "signed by willow_yard" in line]), 1)

    def test_unpacking_that_was_killed_is_taken_back(self):
        self.pack()
        before = snapshot(self.south)
        # What a run leaves that was ended after it had put the first file in place.
        (self.south / "editions.yaml").write_text("half\n")
        (self.south / ".budwood-ab.begun").write_bytes(b"\0".join(
            [b"budwood files 1", b"adds", b"editions.yaml", b".budwood-ab-0.new",
             b".budwood-ab-0.old", b"end", b""]))
        (self.south / ".budwood-ab-0.new").write_text("half\n")
        done = run("check", self.south)
        self.assertIn("interrupted-unpacking", done.stderr)
        self.assertEqual(snapshot(self.south), before)

    def test_names_of_keys(self):
        for name in ("", " ", "north house", "a/", "-x", "a\nb", "a:b"):
            done = run("keys", "--", name, cwd=self.folder)
            self.assertEqual(done.returncode, 2, name)
            self.assertEqual(list(self.folder.glob("*.secret")), [])


if __name__ == "__main__":
    PROGRAM = os.path.abspath(sys.argv.pop(1))
    unittest.main()
