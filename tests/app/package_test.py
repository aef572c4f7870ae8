"""The Debian package, put into a clean root: python3 package_test.py PROGRAM

Everything is found where the package put it, from whatever folder one calls the program.
"""

import configparser
import os
import pathlib
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import unittest
import urllib.error
import urllib.request

PROGRAM = pathlib.Path()


def run(*words, **more):
    return subprocess.run([str(w) for w in words], capture_output=True, text=True, **more)


class Package(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        made = run("cpack", "--config", PROGRAM.parent / "CPackConfig.cmake", "-B", cls.folder / "made")
        assert made.returncode == 0, made.stdout + made.stderr
        cls.package = next((cls.folder / "made").glob("budwood*.deb"))
        cls.root = cls.folder / "root"
        unpacked = run("dpkg-deb", "-x", cls.package, cls.root)
        assert unpacked.returncode == 0, unpacked.stderr
        cls.program = cls.root / "usr/bin/budwood"

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    def budwood(self, *words, cwd=None):
        done = run(self.program, *words, cwd=cwd or self.folder)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        return done.stdout

    def test_it_says_what_it_needs(self):
        control = run("dpkg-deb", "-f", self.package, "Package", "Depends").stdout
        self.assertIn("Package: budwood", control)
        for library in ("libsoci-sqlite3", "libyaml-cpp", "libsodium"):
            self.assertIn(library, control)

    def test_everything_has_its_place(self):
        for name in ("share/budwood/protocols/approach_graft.bud", "share/budwood/protocols/rules/good_practice.bud",
                     "share/doc/budwood/book.md", "share/doc/budwood/copyright", "share/doc/budwood/copyright.antlr4",
                     "share/man/man1/budwood.1",
                     "share/bash-completion/completions/budwood", "share/zsh/vendor-completions/_budwood",
                     "share/vim/vimfiles/syntax/budwood.vim", "lib/systemd/system/budwood@.service"):
            self.assertTrue((self.root / "usr" / name).is_file(), name)

    def test_the_example_plans_from_anywhere(self):
        book = self.folder / "quarry_lane"
        shutil.copytree(self.root / "usr/share/doc/budwood/examples/quarry_lane", book)
        site = (book / "site.yaml").read_text()
        (book / "site.yaml").write_text(site.replace("protocols: ../../protocols", "protocols: budwood"))
        for folder in ("/", book):
            self.assertIn("FU27-1", self.budwood("plan", book, cwd=folder))

    def test_a_first_book_from_the_library(self):
        book = self.folder / "first"
        self.budwood("new", book, "--protocol", "approach_graft")
        self.assertIn("work orders", self.budwood("plan", book))
        self.assertIn("no errors", self.budwood("check", book))

    def test_the_service_serves_a_book(self):
        """The command of the unit, with the options that it has where nobody has said others."""
        unit = configparser.ConfigParser(strict=False, interpolation=None)
        unit.optionxform = str
        unit.read(self.root / "usr/lib/systemd/system/budwood@.service")
        command = unit["Service"]["ExecStart"]
        options = unit["Service"]["Environment"].strip('"').removeprefix("OPTIONS=")
        book = self.folder / "served"
        self.budwood("new", book)
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        words = command.replace("/usr/bin/budwood", str(self.program)).replace("/var/lib/budwood/%i", str(book))
        server = subprocess.Popen(words.replace("$OPTIONS", options.replace("8040", str(port))).split(),
                                  stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        try:
            for _ in range(300):
                try:
                    with urllib.request.urlopen(f"http://127.0.0.1:{port}/api/batches", timeout=5) as answer:
                        self.assertIn(b"First cuttings", answer.read())
                    break
                except (ConnectionError, urllib.error.URLError):
                    self.assertIsNone(server.poll(), server.stderr.read() if server.poll() is not None else "")
                    time.sleep(0.1)
            else:
                self.fail("nobody answers")
        finally:
            server.terminate()
            server.wait()
            server.stderr.close()
        if shutil.which("systemd-analyze"):
            said = run("systemd-analyze", "verify", "--root", self.root, "budwood@first.service").stderr
            self.assertNotRegex(said, "Unknown|Invalid|Failed to parse")

    def test_the_manual_page_is_one(self):
        if not shutil.which("man"):
            self.skipTest("no man")
        page = run("man", "--warnings", "-l", self.root / "usr/share/man/man1/budwood.1",
                   env={**os.environ, "MANWIDTH": "80"})
        self.assertEqual(page.stderr, "")
        self.assertIn("3: a fault of Budwood itself", " ".join(page.stdout.split()))


if __name__ == "__main__":
    PROGRAM = pathlib.Path(sys.argv.pop(1)).resolve()
    if not shutil.which("cpack") or not shutil.which("dpkg-deb"):
        print("skipped: no cpack or no dpkg-deb")
        sys.exit(77)
    unittest.main()
