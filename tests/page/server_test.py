"""The page as a server: what it answers, and to whom: python3 server_test.py PROGRAM"""

import http.client
import json
import os
import pathlib
import socket
import subprocess
import sys
import threading
import time
import unittest

from serving import Served, Window, new_id

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "app"))
import record_server_test as servers  # noqa: E402

PROGRAM = ""
READS = ["state", "batches", "today?day=2027-03-08", "season", "batch?batch=BM27-1", "needs", "why?batch=BM27-1&cell=ready",
         "results", "methods", "method?file=approach_graft.bud", "sheet", "rows?from=0&to=50"]
WRITES = ["note", "try", "keep", "add", "save", "check", "sign-out"]


class Open(unittest.TestCase):
    """On this machine alone, where nobody signs in."""

    @classmethod
    def setUpClass(cls):
        cls.served = Served(PROGRAM)

    @classmethod
    def tearDownClass(cls):
        cls.served.end()

    def test_every_view_has_its_data(self):
        for path in READS:
            with self.subTest(path):
                self.assertTrue(self.served.get("/api/" + path))
        today = self.served.get("/api/today?day=2027-03-08")
        self.assertTrue(any(order["batch"] == "FU27-1" for order in today["orders"]))
        season = self.served.get("/api/season")
        self.assertEqual(len(season["batches"]), 7)
        rows = self.served.get("/api/rows?sheet=0&from=0&to=50")["rows"]
        self.assertEqual(rows[0]["batch"], "BM27-1")
        self.assertEqual(len(rows[0]["values"]), len(rows[0]["signs"]))

    def test_every_address_of_a_view_can_be_kept(self):
        for name in ["", "today", "season", "sheet", "batch", "why", "needs", "results", "methods", "help"]:
            status, headers, body = self.served.ask("GET", "/" + name + "?day=2027-03-08")
            self.assertEqual(status, 200)
            self.assertIn(b"<title>Budwood</title>", body)
            policy = headers["content-security-policy"]
            self.assertIn("default-src 'none'", policy)
            self.assertIn("script-src 'self'", policy)
            self.assertNotIn("unsafe", policy)
            self.assertEqual(headers["x-content-type-options"], "nosniff")
            self.assertEqual(headers["x-frame-options"], "DENY")
            self.assertNotIn("strict-transport-security", headers)
        _, headers, _ = self.served.ask("GET", "/", headers={"X-Forwarded-Proto": "https"})
        self.assertIn("max-age", headers["strict-transport-security"])

    def test_pictures_are_drawn_and_run_nothing(self):
        for path in ["batch?batch=BM27-1", "method?protocol=approach_graft"]:
            status, headers, body = self.served.ask("GET", "/picture/" + path)
            self.assertEqual(status, 200)
            self.assertTrue(body.startswith(b"<svg") or b"<svg" in body[:200])
            self.assertNotIn("script-src", headers["content-security-policy"])
        self.assertEqual(self.served.ask("GET", "/picture/batch?batch=none")[0], 404)

    def test_files_of_the_page_are_asked_for_once(self):
        status, headers, body = self.served.ask("GET", "/web/app.js")
        self.assertEqual(status, 200)
        self.assertTrue(headers["content-type"].startswith("text/javascript"))
        status, _, again = self.served.ask("GET", "/web/app.js", headers={"If-None-Match": headers["etag"]})
        self.assertEqual((status, again), (304, b""))

    def test_nothing_outside_the_page_is_given(self):
        for path in ["/web/../page.cpp", "/web/%2e%2e/%2e%2e/etc/passwd", "/../../etc/passwd", "/web//etc/passwd", "/site.yaml",
                     "/record.db", "/people.json", "/web/..%2f..%2fsite.yaml", "/preact/../web/../../site.yaml", "/%00", "/web/%00"]:
            status, _, body = self.served.ask("GET", path)
            self.assertIn(status, (400, 404), path)
            self.assertNotIn(b"root:", body)
            self.assertNotIn(b"Quarry", body)
        for file in ["../site.yaml", "/etc/passwd", "site.yaml", "batches.yaml"]:
            self.assertEqual(self.served.ask("GET", "/api/method?file=" + file)[0], 404, file)

    def test_other_hosts_and_other_sites_are_not_answered(self):
        own = f"127.0.0.1:{self.served.port}"
        wrong = [{"Host": "evil.example"}, {"Host": f"evil.example:{self.served.port}"},
                 {"Host": own, "Sec-Fetch-Site": "cross-site"}, {"Host": own, "Sec-Fetch-Site": "same-site"},
                 {"Host": own, "Origin": "http://evil.example"}, {"Host": own, "Origin": "null"}]
        for headers in wrong:
            for path in ["/", "/api/state", "/web/app.js", "/picture/batch?batch=BM27-1", "/api/events"]:
                status, _, body = self.served.ask("GET", path, headers=headers)
                self.assertEqual(status, 403, (path, headers))
                self.assertNotIn(b"token", body)
        self.assertEqual(self.served.ask("GET", "/api/state", headers={"Host": "localhost"})[0], 200)

    def test_what_changes_something_needs_the_token(self):
        before = (self.served.folder / "batches.yaml").read_bytes()
        body = json.dumps({"entries": [{"id": new_id(), "line": "BM27-1 note \"forged\""}], "changes": [{"change": "BM27-1.plants=1"}]})
        for name in WRITES:
            for headers in [{}, {"X-Token": ""}, {"X-Token": "0" * 64}, {"X-Token": "none", "Content-Type": "text/plain"}]:
                status, _, _ = self.served.ask("POST", "/api/" + name, body, headers)
                self.assertEqual(status, 403, (name, headers))
        self.assertEqual((self.served.folder / "batches.yaml").read_bytes(), before)
        self.assertFalse(any(entry.get("words") == "forged" for entry in self.served.recorded()))

    def test_photos_that_are_none(self):
        self.served.get("/api/state")
        token = {"X-Token": self.served.get("/api/state")["token"]}
        for body in (b"", b"x", b"\xff\xd8\xff\xe0" + bytes(500), b"<svg/>", bytes(4 << 20)):
            status, _, answer = self.served.ask("POST", "/api/photo", body, token)
            self.assertEqual(status, 400, answer[:200])
            self.assertIn("problem", json.loads(answer))
        self.assertEqual(self.served.ask("POST", "/api/photo", b"x")[0], 403)
        for path in ("/photos/../site.yaml", "/photos/0123456789abcdef.jpg", "/photos/", "/photos/%2e%2e%2fsite.yaml"):
            self.assertEqual(self.served.ask("GET", path)[0], 404, path)
        self.assertFalse((self.served.folder / "photos").exists())

    def test_bodies_that_are_no_question(self):
        token = self.served.get("/api/state")["token"]
        headers = {"X-Token": token}
        for body in [b"", b"{", b"\xff\xfe", b"[" * 100000, b"null", b"3", b'{"entries": 5}', b'{"entries": [5, null, {"id": 3}]}',
                     b'{"changes": [{"change": {}}]}', b'{"changes": "x"}']:
            for name in ["note", "try", "keep", "add", "save", "check"]:
                status, _, answer = self.served.ask("POST", "/api/" + name, body, headers)
                self.assertIn(status, (200, 400, 404, 409, 413), (name, body[:40], status))
                json.loads(answer)
        self.assertEqual(self.served.ask("POST", "/api/check", b"x" * (6 << 20), headers)[0], 413)
        self.assertTrue(self.served.get("/api/state")["site"])

    def test_odd_questions(self):
        for path in ["batch?batch=" + "x" * 5000, "why?batch=BM27-1&cell=nothing", "rows?from=99999999999999999999&to=-1&sheet=7",
                     "rows?sort=nothing&down=1", "today?day=0000-99-99", "today?day=9999-12-31", "results?of=x&by=y",
                     "results?of=take&by=arm&first=%3Cscript%3E&second=b", "sheet?sheet=12345678901"]:
            status, _, answer = self.served.ask("GET", "/api/" + path)
            self.assertIn(status, (200, 404, 414), path)
        self.assertTrue(self.served.get("/api/state")["site"])

    def test_drops_do_not_hold_a_place(self):
        """A request that comes in slowly is given up, however regular its bytes are."""
        begun = time.monotonic()
        with socket.create_connection(("127.0.0.1", self.served.port), timeout=40) as slow:
            slow.sendall(b"POST /api/note HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 100000\r\n\r\n")
            ended = False
            try:
                for _ in range(30):
                    slow.sendall(b"x")
                    time.sleep(1)
                    slow.setblocking(False)
                    try:
                        ended = slow.recv(4096) is not None
                    except BlockingIOError:
                        pass
                    slow.setblocking(True)
                    if ended:
                        break
            except OSError:
                ended = True
        self.assertTrue(ended)
        self.assertLess(time.monotonic() - begun, 26)


class Records(unittest.TestCase):
    """What happened is noted once, whatever happens to the network and to the server."""

    def setUp(self):
        self.served = Served(PROGRAM)
        self.addCleanup(self.served.end)

    def test_noted_is_on_the_disk_though_the_server_dies(self):
        self.assertEqual(self.served.note('BM27-1 note "kept" on 2027-03-01'), ["noted"])
        self.served.stop()
        self.assertEqual([entry["words"] for entry in self.served.recorded()], ["kept"])
        self.served.start()
        self.assertEqual(self.served.note('BM27-1 note "more" on 2027-03-02'), ["noted"])

    def test_what_was_confirmed_is_there_though_the_server_dies_in_the_middle(self):
        confirmed, kept = [], []

        def phone(number):
            for i in range(1000):
                entry = {"id": new_id(), "line": f'BM27-1 note "{number} {i}" on 2027-03-01'}
                try:
                    _, answer = self.served.post("note", {"entries": [entry]})
                except (OSError, http.client.HTTPException):
                    return
                confirmed.extend(one["id"] for one in answer["entries"] if one["state"] == "noted")

        def planner():
            for plants in range(300, 1300):
                try:
                    _, answer = self.served.post("keep", {"changes": [{"change": f"BM27-1.plants={plants}"}]})
                except (OSError, http.client.HTTPException):
                    return
                kept.extend([plants] if answer["done"] else [])

        threads = [threading.Thread(target=phone, args=(number,)) for number in range(6)] + [threading.Thread(target=planner)]
        for thread in threads:
            thread.start()
        self.served.wait_for(lambda: len(confirmed) > 40 and len(kept) > 5)
        self.served.process.kill()
        for thread in threads:
            thread.join()
        self.served.stop()
        self.assertLessEqual(set(confirmed), {entry["id"] for entry in self.served.recorded()})
        # The last change may be on the disk without having been confirmed; the file is whole either way.
        text = (self.served.folder / "batches.yaml").read_text()
        self.assertTrue(f"plants: {kept[-1]}\n" in text or f"plants: {kept[-1] + 1}\n" in text)
        self.assertIn("# new people at the bench", text)
        self.served.start()
        self.assertEqual(len(self.served.get("/api/season")["batches"]), 7)

    def test_the_book_changes_on_the_disk(self):
        file = self.served.folder / "batches.yaml"
        whole = file.read_text()
        plants = lambda: self.served.get("/api/batch?batch=BM27-1")["plants"]
        with Window(self.served) as window:
            file.write_text(whole.replace("plants: 240\n", "plants: 222\n"))
            window.hear("planned")
            self.assertEqual(plants(), 222)
            file.write_text("batches: [\n")
            window.hear("planned")
            self.assertIn("line", json.dumps(self.served.get("/api/state")["trouble"]))
            self.assertEqual(plants(), 222)
            # Nothing is written into a file that cannot be read.
            self.assertFalse(self.served.post("keep", {"changes": [{"change": "BM27-1.plants=230"}]})[1]["done"])
            self.assertEqual(file.read_text(), "batches: [\n")
            file.write_text(whole)
            window.hear("planned")
            self.assertEqual(self.served.get("/api/state")["trouble"], [])
            self.assertEqual(plants(), 240)

    def test_sent_twice_is_noted_once(self):
        entry = {"id": new_id(), "line": 'BM27-1 note "once" on 2027-03-01'}
        states = [self.served.post("note", {"entries": [entry]})[1]["entries"][0]["state"] for _ in range(3)]
        self.assertEqual(states, ["noted", "known", "known"])
        self.assertEqual(len(self.served.recorded()), 1)

    def test_many_phones_at_once_lose_nothing(self):
        phones, each = 20, 10
        wrong, times = [], []

        def phone(number):
            for i in range(each):
                begun = time.monotonic()
                _, answer = self.served.post("note", {"entries": [{"id": new_id(), "line": f'BM27-1 note "{number} {i}" on 2027-03-01'}]})
                times.append(time.monotonic() - begun)
                if answer["entries"][0]["state"] != "noted":
                    wrong.append(answer)

        self.served.note('BM27-1 note "first" on 2027-03-01')
        threads = [threading.Thread(target=phone, args=(number,)) for number in range(phones)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertEqual(wrong, [])
        self.assertEqual(len(self.served.recorded()), phones * each + 1)

    def test_what_people_write_stays_text(self):
        words = "<script>alert(1)</script> & <img src=x onerror=alert(1)>"
        self.assertEqual(self.served.note(f'FU27-1/sticking/1/1 note "{words}" on 2027-03-08'), ["noted"])
        found = self.served.wait_for(lambda: self.served.get("/api/batch?batch=FU27-1")["entries"])
        self.assertIn(words, found[0]["told"])
        _, headers, _ = self.served.ask("GET", "/api/batch?batch=FU27-1")
        self.assertTrue(headers["content-type"].startswith("application/json"))

    def test_the_plan_follows(self):
        order = self.served.get("/api/today?day=2027-03-08")["orders"][0]
        self.served.note(f"{order['place']} done on 2027-03-08 by Ana")
        self.served.wait_for(lambda: any(one["state"] == "done" and one["id"] == order["id"]
                                         for one in self.served.get("/api/today?day=2027-03-08")["orders"]))

    def test_windows_are_told(self):
        with Window(self.served) as window:
            status, answer = self.served.post("keep", {"changes": [{"change": "BM27-1.plants=250", "cell": "batch.plants", "was": "240"}]})
            self.assertEqual((status, answer["done"]), (200, True))
            self.assertIn('"batch.plants"', window.hear("cells"))
            window.hear("planned")

    def test_two_who_change_one_value(self):
        change = {"cell": "batch.plants", "was": "240"}
        first = self.served.post("keep", {"changes": [{"change": "BM27-1.plants=250", **change}]})
        second = self.served.post("keep", {"changes": [{"change": "BM27-1.plants=260", **change}]})
        self.assertEqual(first[0], 200)
        self.assertEqual(second[0], 409)
        self.assertEqual(second[1]["clashes"], [{"batch": "BM27-1", "cell": "batch.plants", "was": "240", "is": "250"}])
        text = (self.served.folder / "batches.yaml").read_text()
        self.assertIn("plants: 250\n", text)
        self.assertIn("# new people at the bench", text)


@unittest.skipUnless(servers.FOUND, "There is no PostgreSQL here.")
class RecordInAServer(unittest.TestCase):
    """The record of a book is kept in PostgreSQL, where other machines note as well."""

    @classmethod
    def setUpClass(cls):
        cls.server = servers.Server()
        cls.addClassCleanup(cls.server.close)

    def test_windows_are_told_what_another_machine_notes(self):
        def keep_there(folder):
            with open(folder / "site.yaml", "a", encoding="utf-8") as site:
                site.write(f"record: {self.server.address()}\n")
        served = Served(PROGRAM, prepare=keep_there)
        self.addCleanup(served.end)
        entries = lambda: [one["told"] for one in served.get("/api/batch?batch=BM27-1")["entries"]]
        elsewhere = lambda words: subprocess.run([PROGRAM, "record", str(served.folder), f'BM27-1 note "{words}" on 2027-03-01'],
                                                 check=True, capture_output=True)
        with Window(served) as window:
            elsewhere("the first of all")
            window.hear("planned")
            self.assertEqual(len(entries()), 1)
            elsewhere("another one")
            window.hear("planned")
            self.assertEqual(len(entries()), 2)
            # What is noted here is there at once.
            self.assertEqual(served.note('BM27-1 note "from here" on 2027-03-01'), ["noted"])
            window.hear("planned")
            self.assertEqual(len(entries()), 3)
            # Without the server what had happened stays known, and it is told that more is not.
            self.server.stop()
            window.hear("planned")
            self.assertIn("does not answer", json.dumps(served.get("/api/state")["trouble"]))
            self.assertEqual(len(entries()), 3)
            self.server.start()
            window.hear("planned")
            self.assertEqual(served.get("/api/state")["trouble"], [])
            elsewhere("after all")
            window.hear("planned")
            self.assertEqual(len(entries()), 4)


class People(unittest.TestCase):
    """With people who sign in."""

    def setUp(self):
        def add(folder):
            for name, role in [("Lena", "look"), ("Ana", "record"), ("Paul", "plan")]:
                subprocess.run([PROGRAM, "people", str(folder), "--add", name, "--role", role], input="three plain words\n",
                               text=True, check=True, capture_output=True)
        self.served = Served(PROGRAM, prepare=add, listen="0.0.0.0:0")
        self.addCleanup(self.served.end)

    def sign_in(self, name, password="three plain words"):
        status, headers, _ = self.served.ask("POST", "/api/sign-in", json.dumps({"name": name, "password": password}), {"X-Token": "none"})
        return status, headers

    def cookie(self, name):
        status, headers = self.sign_in(name)
        self.assertEqual(status, 200)
        cookie = headers["set-cookie"]
        self.assertIn("HttpOnly", cookie)
        self.assertIn("SameSite=Strict", cookie)
        self.served.token = None
        return {"Cookie": cookie.split(";")[0]}

    def test_nobody_gets_in_without_signing_in(self):
        for path in READS + ["events"]:
            self.assertEqual(self.served.ask("GET", "/api/" + path)[0], 401, path)
        for name in WRITES:
            self.assertEqual(self.served.ask("POST", "/api/" + name, "{}", {"X-Token": "none"})[0], 401, name)
        self.assertEqual(self.served.ask("GET", "/picture/batch?batch=BM27-1")[0], 401)
        self.assertEqual(self.served.ask("GET", "/api/state", headers={"Cookie": "budwood=" + "0" * 64})[0], 401)

    def test_everybody_may_do_what_their_role_says(self):
        change = {"changes": [{"change": "BM27-1.plants=250"}]}
        entry = {"entries": [{"id": new_id(), "line": 'BM27-1 note "seen" on 2027-03-01'}]}
        for name, noted, kept in [("Lena", 403, 403), ("Ana", 200, 403), ("Paul", 200, 200)]:
            cookie = self.cookie(name)
            self.assertEqual(self.served.get("/api/state", **cookie)["name"], name)
            self.assertEqual(self.served.post("note", entry, **cookie)[0], noted, name)
            self.assertEqual(self.served.post("keep", change, **cookie)[0], kept, name)
        self.assertEqual([one["by"] for one in self.served.recorded()], ["Ana"])

    def test_what_one_notes_bears_ones_name(self):
        entry = lambda: {"entries": [{"id": new_id(), "line": 'BM27-1 note "seen" on 2027-03-01 by Lena'}]}
        _, refused = self.served.post("note", entry(), **self.cookie("Ana"))
        self.assertEqual(refused["entries"][0]["state"], "refused")
        self.assertEqual(refused["entries"][0]["said"][0]["code"], "other-name")
        _, noted = self.served.post("note", entry(), **self.cookie("Paul"))
        self.assertEqual(noted["entries"][0]["state"], "noted")
        self.assertEqual([one["by"] for one in self.served.recorded()], ["Lena"])

    def test_a_token_of_one_is_no_token_of_another(self):
        ana, paul = self.cookie("Ana"), self.cookie("Paul")
        token = self.served.get("/api/state", **ana)["token"]
        status, _, _ = self.served.ask("POST", "/api/note", '{"entries": []}', {"X-Token": token, **paul})
        self.assertEqual(status, 403)

    def test_who_is_removed_is_out(self):
        cookie = self.cookie("Ana")
        self.assertEqual(self.served.ask("GET", "/api/state", headers=cookie)[0], 200)
        subprocess.run([PROGRAM, "people", str(self.served.folder), "--remove", "Ana"], check=True, capture_output=True)
        self.assertEqual(self.served.ask("GET", "/api/state", headers=cookie)[0], 401)
        self.assertEqual(self.sign_in("Ana")[0], 401)

    def test_who_is_removed_hears_no_more(self):
        cookie = self.cookie("Ana")
        with Window(self.served, cookie) as window:
            subprocess.run([PROGRAM, "people", str(self.served.folder), "--remove", "Ana"], check=True, capture_output=True)
            self.assertRaises(EOFError, window.hear, "nothing of this name")

    def test_signing_out(self):
        cookie = self.cookie("Ana")
        self.assertEqual(self.served.post("sign-out", {}, **cookie)[0], 200)
        self.assertEqual(self.served.ask("GET", "/api/state", headers=cookie)[0], 401)

    def test_passwords_are_not_guessed(self):
        """Ten thousand tries, as fast as they can be made."""
        answers = []
        while len(answers) < 10000:
            connection = http.client.HTTPConnection(self.served.host, self.served.port, timeout=60)
            for _ in range(1000):  # as many as one connection may ask
                connection.request("POST", "/api/sign-in", json.dumps({"name": "Ana", "password": f"wrong password {len(answers)}"}), {"X-Token": "none"})
                answer = connection.getresponse()
                answer.read()
                answers.append(answer.status)
            connection.close()
        self.assertLessEqual(answers.count(401), 12)
        self.assertEqual(answers.count(401) + answers.count(429), 10000)
        self.assertEqual(self.sign_in("Ana")[0], 429)  # even the right one waits
        self.assertEqual(self.sign_in("Paul")[0], 200)

    def test_the_file_of_people_is_not_for_others(self):
        self.assertEqual((self.served.folder / "people.json").stat().st_mode & 0o777, 0o600)
        self.assertNotIn("three plain words", (self.served.folder / "people.json").read_text())


class Starting(unittest.TestCase):
    def run_serve(self, *words):
        return subprocess.run([PROGRAM, "serve", *words], capture_output=True, text=True, timeout=60)

    def test_what_cannot_be_served_is_told(self):
        served = Served(PROGRAM)
        self.addCleanup(served.end)
        taken = self.run_serve(str(served.folder), "--listen", f"127.0.0.1:{served.port}")
        self.assertEqual(taken.returncode, 1)
        self.assertIn("in use", taken.stderr)
        wide = self.run_serve(str(served.folder), "--listen", "0.0.0.0:0")
        self.assertEqual(wide.returncode, 1)
        self.assertIn("budwood people", wide.stderr)
        self.assertEqual(self.run_serve(str(served.folder), "--listen", "nonsense").returncode, 2)
        self.assertEqual(self.run_serve("/nowhere").returncode, 1)

    def test_read_only_changes_nothing(self):
        served = Served(PROGRAM, options=["--read-only"])
        self.addCleanup(served.end)
        self.assertEqual(served.get("/api/state")["role"], "look")
        for name, body in [("note", {"entries": [{"id": new_id(), "line": 'BM27-1 note "x"'}]}), ("keep", {"changes": [{"change": "BM27-1.plants=1"}]}),
                           ("add", {"batch": "X"}), ("save", {"file": "approach_graft.bud", "text": ""})]:
            self.assertEqual(served.post(name, body)[0], 403, name)
        self.assertFalse((served.folder / "record.db").exists())
        self.assertEqual(served.post("try", {"changes": ["BM27-1.plants=250"], "whole": True})[0], 200)

    def test_people(self):
        served = Served(PROGRAM)
        self.addCleanup(served.end)
        def people(*words, typed="three plain words\n"):
            return subprocess.run([PROGRAM, "people", str(served.folder), *words], input=typed, capture_output=True, text=True)
        self.assertIn("Nobody has to sign in", people().stdout)
        self.assertEqual(people("--add", "Ana").returncode, 2)
        self.assertEqual(people("--add", "Ana", "--role", "boss").returncode, 2)
        self.assertEqual(people("--add", "Ana", "--role", "plan", typed="short\n").returncode, 2)
        self.assertEqual(people("--remove", "Ana").returncode, 2)
        self.assertEqual(people("--add", "Ana", "--role", "plan").returncode, 0)
        self.assertIn("Ana  may plan", people().stdout)
        # Who was on the page until then has to sign in as well.
        self.assertEqual(served.ask("GET", "/api/state")[0], 401)


if __name__ == "__main__":
    PROGRAM = os.path.abspath(sys.argv.pop(1))
    unittest.main(verbosity=1)
