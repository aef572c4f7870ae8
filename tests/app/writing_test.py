"""tidy, new, help and completion as people run them: python3 writing_test.py PROGRAM"""

import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

PROGRAM = ""
ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
UNTIDY = 'protocol x "X" {\npart p   # grows\n  stage s of p { lasts 3 days }\n}\n'
TIDY = 'protocol x "X" {\n  part p  # grows\n  stage s of p { lasts 3 days }\n}\n'


def run(*words, **more):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, **more)


class Writing(unittest.TestCase):
    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp())
        self.addCleanup(shutil.rmtree, self.folder)

    def test_tidy(self):
        file = self.folder / "x.bud"
        file.write_text(UNTIDY)
        done = run("tidy", "--check", file)
        self.assertEqual((done.returncode, done.stdout), (1, f"{file}: not tidy\n"))
        self.assertEqual(file.read_text(), UNTIDY)
        done = run("tidy", self.folder)
        self.assertEqual((done.returncode, done.stdout), (0, f"{file}: tidied\n"))
        self.assertEqual(file.read_text(), TIDY)
        done = run("tidy", file, "--check")
        self.assertEqual((done.returncode, done.stdout), (0, "1 file is tidy.\n"))

    def test_tidy_leaves_alone_what_it_cannot_read(self):
        broken = self.folder / "a.bud"
        broken.write_text("protocol x {\n   edition\n}\n")
        good = self.folder / "b.bud"
        good.write_text(UNTIDY)
        done = run("tidy", broken, good)
        self.assertEqual(done.returncode, 1)
        self.assertIn("syntax", done.stderr)
        self.assertEqual(broken.read_text(), "protocol x {\n   edition\n}\n")
        self.assertEqual(good.read_text(), TIDY)
        broken.write_bytes(b'protocol x "\xff" {}')
        self.assertEqual(run("tidy", broken).returncode, 1)
        self.assertEqual(run("tidy", self.folder / "none.bud").returncode, 1)

    def test_the_library_is_tidy(self):
        done = run("tidy", "--check", ROOT / "protocols", ROOT / "examples/quarry_lane", ROOT / "examples/cedar_fork",
                   ROOT / "examples/alder_creek")
        self.assertEqual(done.returncode, 0, done.stdout)

    def plans_and_is_clean(self, *words):
        book = self.folder / ("book" + "_".join(words))
        done = run("new", book, *words)
        self.assertEqual(done.returncode, 0, done.stderr)
        plan = run("plan", book)
        self.assertEqual(plan.returncode, 0, plan.stderr)
        self.assertRegex(plan.stdout, r"\d+ work orders")
        check = run("check", book)
        self.assertEqual((check.returncode, check.stderr), (0, ""))
        self.assertEqual(run("tidy", "--check", book).returncode, 0)

    def test_a_first_book(self):
        self.plans_and_is_clean()

    def test_a_first_book_from_the_library(self):
        """A graft, cuttings, work that follows a season, seed that follows the site's temperatures."""
        for name in ("approach_graft", "softwood_cuttings", "top_working", "winter_chilled_seed"):
            with self.subTest(name):
                self.plans_and_is_clean("--protocol", name)

    def test_a_first_book_comes_upon_nothing(self):
        (self.folder / "mine.txt").write_text("mine")
        self.assertEqual(run("new", self.folder).returncode, 2)
        self.assertEqual([p.name for p in self.folder.iterdir()], ["mine.txt"])
        done = run("new", self.folder / "b", "--protocol", "aproach_graft")
        self.assertEqual(done.returncode, 2)
        self.assertIn("Did you mean `approach_graft`?", done.stderr)

    def test_help(self):
        self.assertIn("keep humidity 20 degC", run("help", "unit-mismatch").stdout)
        self.assertIn("lasts 10 to 18 days", run("help", "lasts").stdout)
        self.assertIn("normals", run("help", "climate").stdout)
        self.assertIn("unit-mismatch", run("help", "unit-mismach").stderr)
        self.assertEqual(run("help", "unit-mismach").returncode, 2)
        self.assertIn("Topics", run("help").stdout)

    def test_examples_of_mistakes(self):
        """Each broken text has the finding that it stands for, each sound one has it not, nor any error."""
        text = (ROOT / "grammar/mistakes.md").read_text()
        file = self.folder / "x.bud"
        for section in text.split("\n## ")[1:]:
            code = section.split("\n", 1)[0]
            blocks = [block.split("\n", 1) for block in section.split("```")[1::2]]
            self.assertEqual(len(blocks), 2, code)
            for (place, lines), broken in zip(blocks, (True, False)):
                if place == "stage":
                    lines = f"part p\nstage s of p {{\n{lines}}}\n"
                elif place == "protocol":
                    lines = f"part p\n{lines}"
                if place != "file":
                    lines = f'protocol x "X" {{\n{lines}}}\n'
                file.write_text(lines)
                said = run("check", file)
                with self.subTest(code, broken=broken):
                    self.assertEqual(f"[{code}]" in said.stderr, broken, lines + said.stderr)
                    if not broken:
                        self.assertEqual(said.returncode, 0, said.stderr)

    def test_a_client_that_dies(self):
        """The language server leaves when nobody speaks to it or listens any more; it took no leave, so with 1."""
        body = b'{"jsonrpc":"2.0","id":1,"method":"initialize","params":{}}'
        message = b"Content-Length: %d\r\n\r\n%s" % (len(body), body)
        for deaf in (False, True):
            server = subprocess.Popen([str(PROGRAM), "language-server"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
            if deaf:
                server.stdout.close()
            try:
                server.stdin.write(message[:-20] if not deaf else message)
                server.stdin.close()
            except BrokenPipeError:
                pass
            with self.subTest(deaf=deaf):
                self.assertEqual(server.wait(20), 1)
            if not deaf:
                server.stdout.close()

    def test_completion(self):
        for shell in ("bash", "zsh"):
            script = run("completion", shell).stdout
            self.assertIn("language-server", script)
            self.assertIn("--batch", script)
            if shutil.which(shell):
                checked = subprocess.run([shell, "-n"], input=script, capture_output=True, text=True)
                self.assertEqual((checked.returncode, checked.stderr), (0, ""))
        self.assertEqual(run("completion", "fish").returncode, 2)
        words = run("completion", "words", "batches", ROOT / "examples/quarry_lane").stdout.split()
        self.assertIn("FU27-1", words)
        words = run("completion", "words", "changes", ROOT / "examples/quarry_lane").stdout.split()
        self.assertIn("FU27-1.ready=", words)

    def test_completion_in_bash(self):
        script = self.folder / "script"
        script.write_text(run("completion", "bash").stdout)
        asked = f"""
            PATH={pathlib.Path(PROGRAM).parent}:$PATH
            . {script}
            complete_line() {{ COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _budwood; echo "${{COMPREPLY[@]}}"; }}
            complete_line budwood pl
            complete_line budwood plan {ROOT}/examples/quarry_lane --batch FU
            complete_line budwood plan --form
            complete_line budwood plan --format i
            complete_line budwood help unit-m
        """
        said = subprocess.run(["bash", "-c", asked], capture_output=True, text=True)
        self.assertEqual(said.stdout.split("\n")[:5], ["plan", "FU27-1 FU27-2 FU27-3", "--format", "ics", "unit-mismatch"], said.stderr)


if __name__ == "__main__":
    PROGRAM = sys.argv.pop(1)
    unittest.main()
