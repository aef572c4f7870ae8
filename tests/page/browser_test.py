"""The page in a real browser: python3 browser_test.py PROGRAM [FOLDER] [Desk] [Phone]

At the size of a desk, of a phone, or of both. With a folder, pictures of every view are left there. Ends with status
77 where there is no browser.
"""

import fcntl
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

import browser
from browser import Browser
from phones_test import write_batches
from serving import Served

PROGRAM = ""
PICTURES = None
AXE = ""  # the script of axe-core, where it could be had
VIEWS = {"today": "/today?day=2027-03-08", "season": "/season", "sheet": "/sheet", "batch": "/batch?batch=BM27-1", "needs": "/needs",
         "why": "/why?batch=BM27-1&cell=ready", "results": "/results", "methods": "/methods?file=softwood_cuttings.bud", "help": "/help"}
READY = {"today": ".order", "season": ".season-row", "sheet": ".grid .row .cell sup", "batch": "table.plain", "needs": "table.needs", "why": ".why p",
         "results": "h1", "methods": ".CodeMirror-line", "help": "table"}


def changes_the_book(test):
    """Marks a test that has a book of its own; the others look at one that they share."""
    test.changes_the_book = True
    return test


class Page:
    """What is held at both sizes."""

    width, height, phone, name = 1280, 900, False, "desk"

    @classmethod
    def setUpClass(cls):
        cls.window = Browser(cls.width, cls.height, cls.phone)
        cls.addClassCleanup(cls.window.end)
        cls.shared = Served(PROGRAM)
        cls.addClassCleanup(cls.shared.end)

    def setUp(self):
        self.window.complaints()  # of the test before
        self.served = self.shared
        if getattr(getattr(self, self._testMethodName), "changes_the_book", False):
            self.serve(Served(PROGRAM))

    def serve(self, served):
        self.served = served
        self.addCleanup(served.end)
        self.addCleanup(self.window.open, "about:blank")

    def go(self, path):
        self.window.open(self.served.url + path)

    def keep_picture(self, name):
        if PICTURES:
            self.window.picture(PICTURES / f"{self.name}_{name}.png")

    def assert_accessible(self, view):
        """axe-core knows the rules of WCAG 2.2 AA, as far as a program can tell."""
        if not AXE:
            return
        self.window.run(AXE + "; window.axe = axe;")
        found = self.window.run_async("""const done = arguments[0];
            axe.run(document, {resultTypes: ['violations'], runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}).then((all) => done(
              all.violations.map((one) => [one.id, one.help, one.nodes.slice(0, 3).map((node) => node.html.slice(0, 200) + ' ' + (node.failureSummary || '').slice(0, 300))])));""")
        self.assertEqual(found, [], view)

    def assert_fits(self, view):
        """Nothing makes the page itself wider than the screen."""
        wide = self.window.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
        self.assertLessEqual(wide, 1, view)

    def test_every_view_is_shown_without_complaints(self):
        for view, path in VIEWS.items():
            with self.subTest(view):
                self.go(path)
                self.window.find(READY[view])
                self.window.settle()
                self.keep_picture(view)
                self.assert_fits(view)
                self.assert_accessible(view)
                self.assertEqual(self.window.complaints(), [])


class Desk(Page, unittest.TestCase):
    """The office."""

    def test_by_keyboard_alone(self):
        self.go("/today?day=2027-03-08")
        self.window.find(".order")
        self.window.keys("Tab", "Enter")
        self.assertEqual(self.window.run("return location.hash"), "#view")
        self.window.run("document.querySelector('nav a[href=\"/needs\"]').focus()")
        self.window.keys("Enter")
        self.window.find("h1", "Needs")
        self.assertEqual(self.window.run("return document.activeElement.id"), "view")

    @changes_the_book
    def test_a_number_is_changed_and_what_follows_changes(self):
        self.go("/sheet")
        self.window.find(".grid .row .cell", "240")
        self.window.click(".grid .row .cell", "240")
        self.window.keys(*"250", "Enter")
        self.window.find(".grid .cell.fresh", "250")
        self.keep_picture("changed")
        self.served.wait_for(lambda: "plants: 250\n" in (self.served.folder / "batches.yaml").read_text())
        self.assertIn("# a Sunday: planned", (self.served.folder / "batches.yaml").read_text())
        self.window.click("button", "Undo")
        self.served.wait_for(lambda: "plants: 240\n" in (self.served.folder / "batches.yaml").read_text())
        self.window.find(".grid .row .cell", "240")
        self.assertEqual(self.window.complaints(), [])

    @changes_the_book
    def test_ten_windows_agree(self):
        """More than a browser has connections to one server."""
        first, others = self.window.here(), []
        for _ in range(9):
            others.append(self.window.tab())
            self.window.turn_to(others[-1])
            self.go("/sheet")
            self.window.find(".grid .row .cell", "240")
        self.window.turn_to(first)
        self.go("/sheet")
        self.window.click(".grid .row .cell", "240")
        self.window.keys(*"255", "Enter")
        for tab in others:
            self.window.turn_to(tab)
            self.window.find(".grid .row .cell", "255")
            self.window.close_tab()
        self.window.turn_to(first)
        self.assertEqual(self.window.complaints(), [])

    @changes_the_book
    def test_two_who_change_one_value_see_both(self):
        self.go("/sheet")
        self.window.click(".grid .row .cell", "240")
        self.window.keys(*"260")
        self.window.find(".grid .cell input")
        status, _ = self.served.post("keep", {"changes": [{"change": "BM27-1.plants=250", "cell": "batch.plants", "was": "240"}]})
        self.assertEqual(status, 200)
        # The window has heard of it, and the value that is being typed stays.
        self.window.find("div[role=status] summary", "values changed")
        self.window.keys("Enter")
        self.window.find(".alert", "Somebody else has changed this meanwhile")
        row = [one.strip() for one in self.window.run("return [...document.querySelectorAll('.alert td')].map((one) => one.textContent)")]
        self.assertEqual(row, ["BM27-1 batch.plants", "240", "250", "260"])
        self.keep_picture("clash")
        self.assert_accessible("clash")
        self.assertIn("plants: 250\n", (self.served.folder / "batches.yaml").read_text())
        self.window.click(".alert button", "Keep mine")
        self.served.wait_for(lambda: "plants: 260\n" in (self.served.folder / "batches.yaml").read_text())
        self.window.wait(lambda: not self.window.run("return document.querySelector('.alert')"), name="the end of the alert")

    def test_what_if(self):
        self.go("/sheet")
        self.window.find(".grid .row .cell", "240")
        self.window.click("#what-if")
        self.window.click(".grid .row .cell", "240")
        self.window.keys(*"300", "Enter")
        self.window.find(".grid .cell.tried", "300")
        self.window.find(".trial", "BM27-1.plants=300")
        self.window.find(".trial summary", "Batches")
        self.keep_picture("what_if")
        self.assert_accessible("what if")
        self.assertIn("plants: 240\n", (self.served.folder / "batches.yaml").read_text())
        self.window.click(".trial button", "Let it go")
        self.window.wait(lambda: not self.window.run("return document.querySelector('.trial')"))
        self.assertIn("plants: 240\n", (self.served.folder / "batches.yaml").read_text())

    def test_a_mistake_is_told_and_changes_nothing(self):
        self.go("/sheet")
        self.window.click(".grid .row .cell", "240")
        self.window.keys(*"many", "Enter")
        self.window.find(".said .error")
        self.assertIn("plants: 240\n", (self.served.folder / "batches.yaml").read_text())

    @changes_the_book
    def test_a_batch_is_dragged_and_kept(self):
        self.go("/season")
        self.window.find(".season-row")

        def held():
            self.window.find(".bar.tried")
            self.keep_picture("drag")

        self.window.drag(".season-row:nth-of-type(1) .bar, .season-row .bar", 42, hold=held)
        self.window.find(".trial", "BM27-1.ready=2027-05-14")
        self.window.find(".trial summary", "Batches")
        self.keep_picture("dragged")
        self.assertIn("ready: 2027-05-07\n", (self.served.folder / "batches.yaml").read_text())
        self.window.click(".trial button", "Keep it")
        self.served.wait_for(lambda: "ready: 2027-05-14\n" in (self.served.folder / "batches.yaml").read_text())
        self.assertEqual(self.window.complaints(), [])

    def test_what_would_help_is_tried_and_kept(self):
        def two_batches(folder):
            """A week apart in one mist frame, where the second wants it wetter than the first."""
            write_batches(folder, 2)
            text = (folder / "batches.yaml").read_text()
            (folder / "batches.yaml").write_text(text.replace("2027-06-02", "2027-05-08"))

        self.serve(Served(PROGRAM, prepare=two_batches))
        conflict, cure = next((conflict, cure) for conflict in self.served.get("/api/season")["conflicts"] for cure in conflict["repairs"] if cure["change"])
        day = cure["change"].removeprefix("B1.ready=")
        self.go("/season")
        self.window.find(".conflicts", "Does not fit")
        self.keep_picture("conflicts")
        self.assert_accessible("conflicts")
        self.window.click(".cures button", cure["change"])
        self.window.find(".trial", cure["change"])
        self.window.find(".trial .good", "fit then")
        self.keep_picture("cure")
        self.window.click(".trial button", "Keep it")
        self.served.wait_for(lambda: f"ready: {day}" in (self.served.folder / "batches.yaml").read_text())
        self.served.wait_for(lambda: all(one["message"] != conflict["message"] for one in self.served.get("/api/season")["conflicts"]))
        # On the page of the batch the same is offered.
        self.served.post("keep", {"changes": [{"change": "B1.ready=2027-05-08"}]})
        self.go("/batch?batch=B1")
        self.window.click(".cures button", cure["change"])
        self.window.find(".trial .good", "fit then")
        self.assertEqual(self.window.complaints(), [])

    @changes_the_book
    def test_the_whole_way(self):
        """Somebody who never saw a terminal plans a batch, changes a number, asks why, does the day's work and counts."""
        step = lambda name: (self.window.settle(), self.keep_picture("way_" + name))
        self.go("/")
        self.window.find(".nothing, .order")
        step("1_opened")
        self.window.click("nav .menu") if self.phone else None
        self.window.click("nav a", "Batch")
        self.window.click("button", "Plan a new batch")
        self.window.type("input[name=batch]", "FU27-9")
        self.window.wait(lambda: self.window.run("return document.querySelectorAll('select[name=protocol] option').length"))
        self.window.click("select[name=protocol]")
        self.window.keys(*"Softwood", "Enter")
        self.window.type("input[name=plants]", "300")
        self.window.run("document.querySelector('form.panel input[type=date]').value = '2027-07-02'")
        step("2_new_batch")
        self.window.click("button", "Plan it")
        self.window.find(".season-row", "FU27-9")
        step("3_in_the_season")
        self.window.click(".season-row a", "FU27-9")
        self.window.find("h1", "FU27-9: 300 plants")
        step("4_the_batch")
        self.window.click("nav a", "Sheet")
        self.window.click(".chooser select")
        self.window.keys(*"Softwood", "Enter")
        self.window.find(".grid .row", "FU27-9")
        self.window.click(".grid .row .cell", "300")
        self.window.keys(*"400", "Enter")
        self.window.find(".grid .cell.fresh", "400")
        step("5_a_number_changed")
        self.window.click(".grid .row .cell", "400")
        self.window.keys("Right", "Right", "Alt+Enter")
        self.window.find(".why p")
        step("6_why")
        self.window.click("a", "The batch")
        first = self.window.find(".plain-list a")
        self.window.run("arguments[0].scrollIntoView({block: 'center'})", first)
        self.window.click(".plain-list a")
        self.window.find(".order", "FU27-9")
        step("7_the_day")
        self.window.click(".order .tick", "FU27-9")
        self.window.find(".order.done", "FU27-9")
        step("8_ticked")
        self.window.click(".order a", "FU27-9")
        self.window.find("h2", "Count")
        self.window.type("form.line-form input[name=counted]", "380")
        self.window.run("document.querySelector('form.line-form input[type=date]').value = arguments[0]", self.served.get("/api/batch?batch=FU27-9")["stages"][0]["end"])
        self.window.click("form.line-form button")
        step("9_counted")
        self.window.find("form.line-form p", "It is noted")
        self.window.find(".plain-list li", "380")
        self.window.find(".conflicts", "came through")
        step("10_the_plan_follows")
        self.assertEqual(self.window.complaints(), [])

    def test_a_batch_is_moved_by_keys_and_let_go(self):
        self.go("/season")
        self.window.find(".season-row")
        self.window.run("document.querySelector('.season-box').focus()")
        self.window.keys("Shift+Left", "Left")
        self.window.find(".trial", "BM27-1.ready=2027-04-29")
        self.window.click(".trial button", "Let it go")
        self.assertIn("ready: 2027-05-07\n", (self.served.folder / "batches.yaml").read_text())

    def test_why(self):
        self.go("/sheet")
        self.window.click(".grid .row .cell", "240")
        self.window.keys("Right", "Alt+Enter")
        self.window.find(".why p")
        self.assertIn("/why?", self.window.run("return location.href"))
        link = self.window.find(".why a")
        words = self.window.run("return arguments[0].textContent", link)
        self.window.click(".why a")
        self.window.find("h1", words)

    def test_a_long_answer_is_told_in_short_first(self):
        self.go("/why?batch=BM27-2&cell=start")
        self.window.find(".why p", "\"Every step\" shows them")
        self.window.click("a", "Every step")
        self.window.find("a", "In short")
        self.assertNotIn("shows them", self.window.run("return document.body.textContent"))

    @changes_the_book
    def test_a_method_with_a_mistake_is_mended(self):
        self.go("/methods?file=lavender_cuttings.bud")
        self.window.find(".CodeMirror-line")
        text = (self.served.folder / "lavender_cuttings.bud").read_text()
        self.assertIn("lasts", text)
        self.window.run("const cm = document.querySelector('.CodeMirror').CodeMirror; cm.setValue(cm.getValue().replace('lasts', 'lastss'))")
        self.window.find(".said .error", "lastss")
        self.window.find(".CodeMirror-lint-marker-error, .CodeMirror-lint-mark-error")
        self.assertTrue(self.window.run("return [...document.querySelectorAll('button')].find((one) => one.textContent === 'Save').disabled"))
        self.keep_picture("mistake")
        self.window.run("const cm = document.querySelector('.CodeMirror').CodeMirror; cm.setValue(cm.getValue().replace('lastss', 'lasts') + '# mended\\n')")
        self.window.wait(lambda: not self.window.run("return [...document.querySelectorAll('button')].find((one) => one.textContent === 'Save').disabled"))
        self.window.click("button", "Save")
        self.served.wait_for(lambda: (self.served.folder / "lavender_cuttings.bud").read_text() == text + "# mended\n")

    def test_help_while_a_method_is_typed(self):
        self.go("/methods?file=lavender_cuttings.bud")
        self.window.find(".CodeMirror-line")
        typed = lambda: self.window.run("return document.querySelector('.CodeMirror').CodeMirror.getValue()")
        whole = typed()
        self.window.run("""const editor = document.querySelector('.CodeMirror').CodeMirror;
            const lines = editor.getValue().split('\\n');
            const line = lines.findIndex((one) => one.trim().startsWith('lasts '));
            editor.replaceRange('lasst', {line, ch: lines[line].indexOf('lasts')}, {line, ch: lines[line].indexOf('lasts') + 5});""")
        self.window.find(".said .error", "unknown-statement")
        self.keep_picture("mend")
        self.window.click(".said button", "lasts")
        self.window.wait(lambda: typed() == whole, name="the mended text")
        # What may stand at an empty line of a stage.
        self.window.run("""const editor = document.querySelector('.CodeMirror').CodeMirror;
            const line = editor.getValue().split('\\n').findIndex((one) => one.trim().startsWith('lasts '));
            editor.replaceRange('\\n      ', {line});
            editor.setCursor({line: line + 1, ch: 6});
            editor.focus();""")
        self.window.keys("Control+ ")
        self.window.find(".CodeMirror-hint", "keep")
        self.keep_picture("choices")
        self.window.keys("Escape")
        self.window.run("const editor = document.querySelector('.CodeMirror').CodeMirror; editor.setValue(arguments[0].replace('18 to 30 days', '28 to 40 days').replace('usually 23', 'usually 33')); editor.setCursor({line: 9, ch: 8})", whole)
        self.window.find(".pointed", "Used")
        self.window.click("button", "What it would do")
        self.window.find("pre.topic", "LA27-1")
        self.keep_picture("effect")
        self.window.run("const editor = document.querySelector('.CodeMirror').CodeMirror; editor.setValue(arguments[0])", whole.replace("    lasts", "  lasts"))
        self.window.wait(lambda: not self.window.run("return document.querySelector('pre.topic') !== null"), name="the end of the effect")
        self.window.click("button", "Tidy up")
        self.window.wait(lambda: typed() == whole, name="the tidy text")

    def test_a_topic_is_looked_up(self):
        self.go("/help")
        self.window.type("input[name=topic]", "unit-mismatch")
        self.window.click("button", "Look up")
        self.window.find(".topic", "This has it")
        self.window.type("input[name=topic]", "unit-mismach")
        self.window.click("button", "Look up")
        self.window.click("p[role=status] a", "unit-mismatch")
        self.window.find(".topic", "This has it")

    @changes_the_book
    def test_a_batch_is_planned(self):
        self.go("/batch")
        self.window.click("button", "Plan a new batch")
        self.window.type("input[name=batch]", "FU27-9")
        self.window.wait(lambda: self.window.run("return document.querySelectorAll('select[name=protocol] option').length"))
        self.window.run("""for (const [name, value] of [['protocol', 'softwood_cuttings'], ['key', 'ready']]) document.querySelector(`select[name=${name}]`).value = value;
            document.querySelector('form.panel input[type=date]').value = '2027-07-02';""")
        self.window.type("input[name=plants]", "300")
        self.window.click("button", "Plan it")
        self.window.find(".season-row", "FU27-9")
        self.assertIn("  - batch: FU27-9\n    protocol: softwood_cuttings\n    plants: 300\n    ready: 2027-07-02\n",
                      (self.served.folder / "batches.yaml").read_text())

    @changes_the_book
    def test_stock_is_counted(self):
        self.go("/needs")
        before = {one["name"]: one["on_hand"] for one in self.served.get("/api/needs")["supplies"]}
        self.window.type("input[aria-label*='potting mix']", "95")
        self.window.keys("Enter")
        self.served.wait_for(lambda: any(entry.get("what") == "stock" for entry in self.served.recorded()))
        self.served.wait_for(lambda: {one["name"]: one["on_hand"] for one in self.served.get("/api/needs")["supplies"]} != before)


class Phone(Page, unittest.TestCase):
    """The bench: a phone that is held in one hand."""

    width, height, phone, name = 390, 844, True, "phone"

    def test_what_is_tapped_is_large_enough(self):
        self.go("/today?day=2027-03-08")
        self.window.find(".order")
        self.assertGreaterEqual(self.window.run("return document.querySelector('.tick').getBoundingClientRect().width"), 60)
        small = self.window.run("""return [...document.querySelectorAll('button, nav a, select, input')].filter((one) => one.getClientRects().length > 0)
            .map((one) => [one.textContent || one.name, Math.round(one.getBoundingClientRect().height)]).filter(([, height]) => height < 24)""")
        self.assertEqual(small, [])

    @changes_the_book
    def test_the_days_work_is_ticked_and_counted(self):
        self.go("/today?day=2027-03-08")
        self.window.type("header input", "Ana")
        self.window.click(".order .tick", "Take soft shoots")
        self.window.find(".order.done", "Take soft shoots")
        self.window.click(".order.done .more")
        self.window.type(".order.done input[name=plants]", "700")
        self.window.type(".order.done input[name=time]", "3:40")
        self.window.type(".order.done input[name=note]", "soft \"tips\" only")
        self.keep_picture("details")
        self.window.click(".order.done form .main")
        entries = self.served.wait_for(lambda: len(self.served.recorded()) >= 3 and self.served.recorded())
        whats = [entry["what"] for entry in entries]
        self.assertEqual(sorted(whats), ["done", "done", "note"])
        corrected = next(entry for entry in entries if entry.get("corrects"))
        self.assertEqual((corrected["by"], corrected["number"]), ("Ana", 700))
        self.window.find(".noted", "700 plants")
        self.keep_picture("ticked")
        self.assertEqual(self.window.complaints(), [])

    @changes_the_book
    def test_a_photo_goes_with_a_note(self):
        self.go("/today?day=2027-03-08")
        self.window.click(".order .more")
        self.window.find("input[name=photo]")
        # As a camera hands it over; what it is of does not matter.
        self.window.run_async("""const done = arguments[0];
            const canvas = Object.assign(document.createElement('canvas'), {width: 2000, height: 1200});
            canvas.getContext('2d').fillRect(200, 200, 900, 500);
            canvas.toBlob((blob) => {
              const files = new DataTransfer();
              files.items.add(new File([blob], '51.4779 N.png', {type: 'image/png'}));
              document.querySelector('input[name=photo]').files = files.files;
              done(true);
            }, 'image/png');""")
        self.window.type("input[name=note]", "leaf spot")
        self.window.click(".details button.main")
        entry = self.served.wait_for(lambda: next((one for one in self.served.recorded() if "leaf spot" in one.get("words", "")), None))
        name = re.search(r"photo ([0-9a-f]{16}[.]jpg)", entry["words"])[1]
        self.assertTrue((self.served.folder / "photos" / name).read_bytes().startswith(b"\xff\xd8"))
        self.window.wait(lambda: self.window.run("return [...document.querySelectorAll('.photo img')].some((one) => one.naturalWidth === 1600)"), name="the photo")
        self.keep_picture("photo")
        self.assertEqual(self.window.complaints(), [])

    @changes_the_book
    def test_a_tick_by_mistake_is_taken_back(self):
        self.go("/today?day=2027-03-08")
        self.window.click(".order .tick", "Take soft shoots")
        self.served.wait_for(lambda: any(one["state"] == "done" for one in self.served.get("/api/today?day=2027-03-08")["orders"]))
        self.window.find(".noted")
        self.window.click(".order.done .tick")
        self.served.wait_for(lambda: not any(one["state"] == "done" for one in self.served.get("/api/today?day=2027-03-08")["orders"]))

    @changes_the_book
    def test_what_is_noted_without_the_network_is_sent_later(self):
        self.go("/today?day=2027-03-08")
        self.window.find(".order")
        self.window.network(False)
        self.window.click(".order .tick", "Take soft shoots")
        self.window.find("#waiting", "1 entry waits")
        self.window.find(".order.done")
        self.keep_picture("offline")
        self.assertEqual(self.served.recorded(), [])
        self.window.network(True)
        entries = self.served.wait_for(self.served.recorded)
        self.assertEqual([entry["what"] for entry in entries], ["done"])
        self.window.wait(lambda: not self.window.run("return document.getElementById('waiting')"))
        # Nothing is left that would be sent again.
        self.window.run_async("const done = arguments[0]; dispatchEvent(new Event('online')); fetch('/api/state').then(() => done(true));")
        self.assertEqual(len(self.served.recorded()), 1)

    @changes_the_book
    def test_what_is_noted_while_the_server_is_down_is_sent_later(self):
        self.go("/today?day=2027-03-08")
        self.window.find(".order")
        self.served.listen = f"127.0.0.1:{self.served.port}"
        self.served.stop()
        self.window.click(".order .tick", "Take soft shoots")
        self.window.find("#waiting", "1 entry waits")
        self.served.start()
        self.served.wait_for(self.served.recorded)
        self.window.wait(lambda: not self.window.run("return document.getElementById('waiting')"), 60)

    @changes_the_book
    def test_scripts_in_what_people_write_stay_text(self):
        self.served.note('FU27-1/sticking/2/1 note "<img src=x onerror=document.title=1><b>bold</b>" on 2027-03-08')
        self.go("/today?day=2027-03-08")
        self.window.find(".noted", "<b>bold</b>")
        self.assertEqual(self.window.run("return document.querySelectorAll('.noted b, .noted img').length"), 0)


def find_axe():
    """axe-core from npm, where that can be reached."""
    if shutil.which("npm") is None:
        return ""
    folder = pathlib.Path(tempfile.gettempdir()) / f"budwood-axe-{os.getuid()}"
    script = folder / "node_modules" / "axe-core" / "axe.min.js"
    folder.mkdir(mode=0o700, exist_ok=True)
    with open(folder / "lock", "w", encoding="utf-8") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # tests run side by side
        if script.exists():
            return script.read_text()
        subprocess.run(["npm", "install", "--silent", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", str(folder), "axe-core@4.10"],
                       capture_output=True, timeout=90)
    return script.read_text() if script.exists() else ""


if __name__ == "__main__":
    PROGRAM = os.path.abspath(sys.argv.pop(1))
    if browser.DRIVER is None or browser.BROWSER is None:
        print("There is no chromium with its driver here: skipped.")
        sys.exit(77)
    if len(sys.argv) > 1 and not sys.argv[1].startswith("-") and "." not in sys.argv[1] and sys.argv[1][0] in "/":
        PICTURES = pathlib.Path(sys.argv.pop(1))
        PICTURES.mkdir(parents=True, exist_ok=True)
    try:
        AXE = find_axe()
    except (subprocess.SubprocessError, OSError):
        pass
    if not AXE:
        print("axe-core could not be had: its rules are not checked.")
    unittest.main(verbosity=1)
