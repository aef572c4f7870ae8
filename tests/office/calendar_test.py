"""Holds calendars of the program against its own CSV, read by an independent parser:
python3 calendar_test.py PROGRAM"""

import datetime
import os
import re
import sys
import unittest

import books
from books import BookTest, plain, rows, run

try:
    import icalendar
except ImportError:
    icalendar = None

NOBODY = 65534


def events_of(data):
    return list(icalendar.Calendar.from_ical(data).walk("VEVENT"))


def of_work(events):
    """Without the settings of rooms, which go by room and day, not by batch."""
    climate = lambda event: "climate" in str(event.get("CATEGORIES").to_ical() if event.get("CATEGORIES") else "")
    return {uid: event for uid, event in events.items() if not climate(event)}


def by_uid(data):
    return {str(event["UID"]): event for event in events_of(data)}


def title_of(row):
    """What is set is told by what is set, not by the title that all such orders share."""
    if row["id"].split("/")[2] == "set":
        room, zone = row["id"].split("/")[:2]
        return f"{room if zone == 'all' else room + ', ' + zone}: set {row['settings']}"
    return f"{row['batch']}: {plain(row['title'])}".strip()


def trimmed(text):
    """Readers drop blanks at the ends, so that none are written."""
    return "\n".join(text.split("\n")).strip(" \n")


@unittest.skipIf(icalendar is None, "SKIPPED: python3-icalendar is not installed")
class CalendarTest(BookTest):
    def calendar(self, folder, *arguments, status=(0, 1)):
        result = run("plan", folder, "--format", "ics", *arguments)
        self.assertIn(result.status, status, result.err)
        return result.raw

    def written(self, folder, *arguments, name="plan.ics", status=0):
        path = self.folder / name
        result = run("plan", folder, "--format", "ics", "--out", path, *arguments)
        self.assert_status(result, status)
        return path.read_bytes()

    def check_lines(self, data):
        self.assertTrue(data.endswith(b"END:VCALENDAR\r\n"))
        for line in data.split(b"\r\n"):
            self.assertLessEqual(len(line), 75, line)
            self.assertNotIn(b"\n", line)
            self.assertNotIn(b"\r", line)
            line.decode()  # no character is divided
            self.assertIsNone(re.search(rb"[\x00-\x08\x0b-\x1f\x7f]", line), line)

    def test_every_order_is_there_once(self):
        for folder in self.all_books():
            with self.subTest(folder.name):
                data = self.calendar(folder)
                self.check_lines(data)
                events = events_of(data)
                _, orders = rows("plan", folder)
                self.assertEqual(len({str(e["UID"]) for e in events}), len(events))
                # What mist comes to in a day stands behind what is set.
                told = sorted((e["DTSTART"].dt.isoformat(),
                               re.sub(r" \(\d+ pulses?[^)]*\)", "", str(e["SUMMARY"])),
                               str(e.get("LOCATION", ""))) for e in events)
                wanted = sorted((o["date"], trimmed(title_of(o).replace("\t", " ")), o["room"])
                                for o in orders)
                self.assertEqual(told, wanted)
                ids = {str(e["DESCRIPTION"]).splitlines()[-1].split(",")[0] for e in events}
                self.assertEqual(ids, {"Order " + o["id"] for o in orders})
                for event in events:
                    self.assertIsInstance(event["DTSTART"].dt, datetime.date)
                    self.assertNotIsInstance(event["DTSTART"].dt, datetime.datetime)
                    self.assertEqual(event["DTEND"].dt - event["DTSTART"].dt,
                                     datetime.timedelta(days=1))
                    self.assertEqual(event["SEQUENCE"], 0)
                    self.assertEqual(str(event["TRANSP"]), "TRANSPARENT")
                    self.assertIn("DTSTAMP", event)

    def test_description_has_what_people_need(self):
        events = {str(e["SUMMARY"]) + str(e["DTSTART"].dt): e
                  for e in events_of(self.calendar(books.EXAMPLES[0]))}
        cut = next(e for e in events.values() if "Order FU27-1/sticking/2/1" in str(e["DESCRIPTION"]))
        self.assertEqual(str(cut["SUMMARY"]), "FU27-1: Take soft shoots early in the day, trim below a node, dip, "
                                              "stick, label, water in")
        text = str(cut["DESCRIPTION"])
        for words in ("709 plants, 3.5 h, crew propagation", "Use: Plug tray, 104 cells: 7 trays",
                      "Caution: Small sharp knife", "Record: stuck (shoots)",
                      "Order FU27-1/sticking/2/1"):
            self.assertIn(words, text)
        self.assertEqual(cut["CATEGORIES"].to_ical(), b"propagation")
        setting = next(e for e in events.values() if ": set root zone 22 degC" in str(e["SUMMARY"])
                       and "For: FU27-1/rooting" in str(e["DESCRIPTION"]))
        self.assertIn("Set: root zone 22 degC", str(setting["DESCRIPTION"]))
        self.assertEqual(str(setting["LOCATION"]), "mist_frame")

    def test_same_again(self):
        book = self.book()
        first = self.written(book)
        self.assertEqual(self.written(book), first)
        self.assertEqual(self.calendar(book), first)
        # The same from the older file by name, whatever the name.
        older = self.folder / "older.ics"
        older.write_bytes(first)
        self.assertEqual(self.calendar(book, "--after", older), first)
        unkind = self.unkind_book()
        first = self.written(unkind, name="unkind.ics")
        self.assertEqual(self.written(unkind, name="unkind.ics"), first)

    def test_what_moves_keeps_its_uid(self):
        book = self.book()
        before = of_work(by_uid(self.written(book)))
        self.book(batches=books.BATCHES.replace("2027-06-11", "2027-06-18"))
        data = self.written(book)
        after = of_work(by_uid(data))
        self.assertEqual(set(before), set(after))
        moved = {u for u in after if after[u]["DTSTART"].dt != before[u]["DTSTART"].dt}
        self.assertTrue(moved)
        for uid, event in after.items():
            is_new = uid in moved or event["DESCRIPTION"] != before[uid]["DESCRIPTION"]
            self.assertEqual(event["SEQUENCE"], 1 if is_new else 0, event["SUMMARY"])
            later = event["DTSTAMP"].dt > before[uid]["DTSTAMP"].dt
            self.assertEqual(later, is_new)
            self.assertEqual(str(event["STATUS"]), "CONFIRMED")
        self.assertTrue(any(e["SEQUENCE"] == 0 for e in after.values()))  # D2 stays
        self.assertEqual(self.written(book), data)

    def test_content_that_changes(self):
        book = self.book()
        self.written(book)
        self.book(protocol=books.PROTOCOL.replace('"Pot on"', '"Pot on, firmly"'))
        after = by_uid(self.written(book))
        for event in after.values():
            self.assertEqual(event["SEQUENCE"], 1 if "firmly" in event["SUMMARY"] else 0)

    def test_what_is_gone_is_cancelled_and_can_come_back(self):
        book = self.book()
        first = of_work(by_uid(self.written(book)))
        self.book(batches="\n".join(books.BATCHES.splitlines()[:2]) + "\n")
        data = self.written(book)
        after = by_uid(data)
        self.assertLessEqual(set(first), set(after))  # what D2 kept in the tunnel may end now
        for uid, event in ((u, after[u]) for u in first):
            gone = str(event["SUMMARY"]).startswith("D2")
            self.assertEqual(str(event["STATUS"]), "CANCELLED" if gone else "CONFIRMED")
            self.assertEqual(event["SEQUENCE"], 1 if gone else 0)
            self.assertEqual(event["DTSTART"].dt, first[uid]["DTSTART"].dt)
        self.assertEqual(self.written(book), data)
        self.book()
        back = by_uid(self.written(book))
        for event in (back[u] for u in first):
            self.assertEqual(str(event["STATUS"]), "CONFIRMED")
            self.assertEqual(event["SEQUENCE"], 2 if str(event["SUMMARY"]).startswith("D2") else 0)

    def test_a_part_of_the_plan_cancels_nothing(self):
        book = self.book()
        whole = self.written(book)
        self.assertEqual(self.written(book, "--batch", "D1"), whole)
        part = self.written(book, "--batch", "D1", name="part.ics")
        works = of_work(by_uid(part))
        self.assertTrue(works)
        self.assertTrue(all(str(e["SUMMARY"]).startswith("D1") for e in works.values()))
        self.book(batches=books.BATCHES.replace("2027-06-11", "2027-06-25"))
        march = self.written(book, "--to", "2027-05-10", name="part.ics")
        # What it told before is told as it is now, also where it is outside of the days asked for.
        days = lambda data: {e["DTSTART"].dt for e in of_work(by_uid(data)).values()}
        self.assertEqual(days(march), days(self.calendar(book, "--batch", "D1")))

    def test_a_book_with_mistakes_cancels_nothing(self):
        book = self.book()
        first = self.written(book)
        self.book(batches=books.BATCHES.replace("protocol: division,", "protocol: divison,"))
        result = run("plan", book, "--format", "ics", "--out", self.folder / "plan.ics")
        self.assert_status(result, 1)
        self.assertIn("No calendar was written", result.err)
        self.assertEqual((self.folder / "plan.ics").read_bytes(), first)

    def test_by_crew(self):
        book = self.book()
        data = self.written(book, "--by", "crew")
        self.check_lines(data)
        events = events_of(data)
        _, orders = rows("plan", book)
        kinds = {}
        for order in orders:
            is_setting = order["id"].split("/")[2] == "set"
            key = (order["date"], "climate" if is_setting else order["crew"])
            kinds.setdefault(key, []).append(order)
        self.assertEqual(len(events), len(kinds))
        for event in events:
            category = str(event["CATEGORIES"].to_ical().decode()) if "CATEGORIES" in event else ""
            held = kinds[(event["DTSTART"].dt.isoformat(), category)]
            for order in held:
                self.assertIn("Order " + order["id"], str(event["DESCRIPTION"]))
                self.assertIn(title_of(order), str(event["DESCRIPTION"]))
            self.assertEqual(str(event["DESCRIPTION"]).count("Order "), len(held))
        self.assertEqual(self.written(book, "--by", "crew"), data)
        only = events_of(self.calendar(book, "--by", "crew", "--crew", "potting"))
        self.assertTrue(only)
        self.assertEqual({e["CATEGORIES"].to_ical() for e in only}, {b"potting"})
        # The same file as events by order: the crew's days are gone, and told as such.
        both = by_uid(self.written(book))
        self.assertEqual(sum(str(e["STATUS"]) == "CANCELLED" for e in both.values()), len(events))
        self.assertEqual(sum(str(e["STATUS"]) == "CONFIRMED" for e in both.values()), len(orders))

    def test_alarm(self):
        book = self.book()
        self.assertNotIn(b"VALARM", self.calendar(book))
        for asked, trigger in (("1 day", b"-P1D"), ("6 h", b"-PT6H"), ("30 min", b"-PT30M")):
            events = events_of(self.calendar(book, "--alarm", asked))
            for event in events:
                alarm, = event.walk("VALARM")
                self.assertEqual(alarm["TRIGGER"].to_ical(), trigger)
                self.assertEqual(str(alarm["ACTION"]), "DISPLAY")
                self.assertEqual(alarm["DESCRIPTION"], event["SUMMARY"])
        # A reminder is nothing that the event tells.
        self.written(book)
        events = events_of(self.written(book, "--alarm", "1 day"))
        self.assertEqual({e["SEQUENCE"] for e in events}, {0})

    def test_misuse(self):
        book = self.book()
        for words, message in (
                (["--set", "D1.plants=90"], "for a plan as it is"),
                (["--level"], "for a plan as it is"),
                (["--settings"], "leave --settings out"),
                (["--by", "crew", "--batch", "D1"], "leave --batch and --room out"),
                (["--by", "week"], "choose order or crew"),
                (["--alarm", "soon"], "--alarm wants a time"),
                (["--alarm", "2 L"], "--alarm wants a time"),
                (["--alarm", "-1 day"], "--alarm wants a time")):
            result = run("plan", book, "--format", "ics", *words)
            self.assert_status(result, 2)
            self.assertIn(message, result.err)
            self.assertEqual(result.raw, b"")
        for words in (["--by", "crew"], ["--after", "x.ics"], ["--alarm", "1 day"]):
            result = run("plan", book, *words)
            self.assert_status(result, 2)
            self.assertIn("--format ics", result.err)

    def test_files_that_are_no_calendar_of_the_site(self):
        book = self.book()
        other_site = self.book("other", site=books.SITE.replace("Willow", "Alder"))
        others = self.calendar(other_site)
        foreign = (b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//X//EN\r\nBEGIN:VEVENT\r\nUID:a\r\n"
                   b"DTSTART:20270101T100000Z\r\nSUMMARY:Dentist\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n")
        own = self.calendar(book)
        for data in (others, foreign, b"a grower's notes\n", b"BEGIN:VCALENDAR", b"\xff\xfe\x00",
                     own[:len(own) // 2] + b"\x00" + own[len(own) // 2:]):
            path = self.folder / "mine.ics"
            path.write_bytes(data)
            for words in (["--out", path], ["--after", path]):
                result = run("plan", book, "--format", "ics", *words)
                self.assert_status(result, 1)
                self.assertNotEqual(result.err, "")
                self.assertEqual(path.read_bytes(), data)
        result = run("plan", book, "--format", "ics", "--after", self.folder / "none.ics")
        self.assert_status(result, 1)
        self.assertIn("none.ics", result.err)

    def test_a_calendar_that_was_tampered_with(self):
        book = self.book()
        own = self.calendar(book)
        changed = own.replace(b"SEQUENCE:0", b"SEQUENCE:2147483647", 1)
        changed = changed.replace(b"SEQUENCE:0", b"SEQUENCE:-5", 1)
        changed = changed.replace(b"SEQUENCE:0", b"SEQUENCE:many", 1)
        changed = changed.replace(b"DTSTART;VALUE=DATE:2027", b"DTSTART;VALUE=DATE:9927", 1)
        changed = changed.replace(b"SUMMARY:", b"SUMMARY;X=\"y\":Not ", 1)
        path = self.folder / "old.ics"
        path.write_bytes(changed)
        result = run("plan", book, "--format", "ics", "--after", path)
        self.assert_status(result, 0)
        events = events_of(result.raw)
        _, orders = rows("plan", book)
        kept = [e for e in events if str(e["STATUS"]) == "CONFIRMED"]
        self.assertEqual(len(kept), len(orders))
        self.check_lines(result.raw)

    def test_what_is_no_calendar_is_not_replaced_by_one(self):
        book = self.book()
        older = self.folder / "older.ics"
        older.write_bytes(self.calendar(book))
        for data in (b"", b"a grower's notes\n"):
            path = self.folder / "notes.txt"
            path.write_bytes(data)
            for words in ([], ["--after", older]):
                result = run("plan", book, "--format", "ics", "--out", path, *words)
                self.assert_status(result, 1)
                self.assertIn("is left as it is", result.err)
                self.assertEqual(path.read_bytes(), data)

    def test_nothing_found(self):
        result = run("plan", self.book(), "--format", "ics", "--from", "2030-01-01")
        self.assert_status(result, 0)
        self.assertIn("No work orders", result.err)
        self.assertEqual(events_of(result.raw), [])

    def test_disk_and_folder(self):
        book = self.book()
        result = run("plan", book, "--format", "ics", "--out", "/dev/full")
        self.assert_status(result, 1)
        self.assertIn("/dev/full", result.err)
        result = run("plan", book, "--format", "ics", "--out", self.folder / "none" / "p.ics")
        self.assert_status(result, 1)
        self.assertIn("there is no folder", result.err)
        if os.getuid() == 0:
            first = self.written(book)
            os.chmod(self.folder / "plan.ics", 0o644)
            self.book(batches=books.BATCHES.replace("2027-06-11", "2027-06-18"))
            result = run("plan", book, "--format", "ics", "--out", self.folder / "plan.ics",
                         user=NOBODY)
            self.assert_status(result, 1)
            self.assertEqual((self.folder / "plan.ics").read_bytes(), first)


if __name__ == "__main__":
    books.program = sys.argv.pop(1)
    if icalendar is None:
        print("SKIPPED: the calendar is not tested, python3-icalendar is not installed")
    unittest.main()
