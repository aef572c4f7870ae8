"""The Debian package, put into a clean root: python3 package_test.py PROGRAM

Everything is found where the package put it, from whatever folder one calls the program.
"""

import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

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
        for library in ("libantlr4-runtime", "libyaml-cpp", "libsodium"):
            self.assertIn(library, control)

    def test_everything_has_its_place(self):
        for name in ("share/budwood/protocols/approach_graft.bud", "share/budwood/protocols/rules/good_practice.bud",
                     "share/doc/budwood/book.md", "share/man/man1/budwood.1",
                     "share/bash-completion/completions/budwood", "share/zsh/vendor-completions/_budwood",
                     "share/vim/vimfiles/syntax/budwood.vim"):
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

    def test_the_manual_page_is_one(self):
        if not shutil.which("man"):
            self.skipTest("no man")
        page = run("man", "--warnings", "-l", self.root / "usr/share/man/man1/budwood.1",
                   env={**os.environ, "MANWIDTH": "80"})
        self.assertEqual(page.stderr, "")


if __name__ == "__main__":
    PROGRAM = pathlib.Path(sys.argv.pop(1)).resolve()
    if not shutil.which("cpack") or not shutil.which("dpkg-deb"):
        print("skipped: no cpack or no dpkg-deb")
        sys.exit(77)
    unittest.main()
