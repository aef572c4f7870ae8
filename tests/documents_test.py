#!/usr/bin/env python3
"""Holds the documents against the program and against each other.

    documents_test.py PROGRAM [--refresh]

A block marked `console` starts with one line `$ build/budwood ...`, typed at the top of the tree; the rest
of it is what the command prints, standard output before standard error. Where the line ends in `> FILE` or
`>> FILE`, standard output goes there instead, as it does in a terminal. The commands of one document run
one after the other in a copy of the examples and protocols of its own, so that what one writes the next can
read, and no document disturbs another. What stands below a line `From [...](FILE)` stands in that file, line by
line. A picture below `<!-- build/budwood ... -->` is what that command
prints. Every link leads to a file, and to a heading where it names one. Each command that is written down is
there, with its options, and README.md names them all, and how many methods the library has. With --refresh
blocks and pictures are rewritten.
"""
import functools
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

root = pathlib.Path(__file__).resolve().parent.parent
folders = ("examples", "protocols", "grammar", "tests")
block = re.compile(r"```console\n\$ build/budwood ([^\n]*)\n(.*?)```", re.S)
redirected = re.compile(r"(.*?) (>>?) (\S+)$")
picture = re.compile(r"<!-- build/budwood ([^\n]*) -->\n!\[[^\]]*\]\(([^)]+)\)")
excerpt = re.compile(r"^From \[[^\]]*\]\(([^)]+)\)[^\n]*\n\n```\n(.*?)```", re.S | re.M)
link = re.compile(r"\]\(([^)\s]+)\)")
longest = {"README.md": 200, "DEVELOPERS.md": 200}  # lines
longest_other = 450


def documents():
    found = [*root.glob("*.md")]
    for folder in folders:
        found += (root / folder).rglob("*.md")
    return sorted(found)


class Copy:
    """A copy of what the commands of one document work on."""

    def __init__(self, program):
        self.program = program
        self.holder = tempfile.TemporaryDirectory()
        for name in ("examples", "protocols"):
            shutil.copytree(root / name, pathlib.Path(self.holder.name) / name)

    def run(self, arguments):
        command = [self.program, *shlex.split(arguments)]
        done = subprocess.run(command, cwd=self.holder.name, capture_output=True)
        if done.returncode not in (0, 1, 2):  # never shown to anybody as what the program does
            sys.exit(f"budwood {arguments} ends with {done.returncode}: {done.stderr.decode()}")
        return done

    def drawn(self, arguments):
        return self.run(arguments).stdout

    def output_of(self, arguments):
        into = redirected.match(arguments)
        run = self.run(into[1] if into else arguments)
        if not into:
            return run.stdout.decode() + run.stderr.decode()
        with (pathlib.Path(self.holder.name) / into[3]).open("ab" if into[2] == ">>" else "wb") as file:
            file.write(run.stdout)
        return run.stderr.decode()


def refresh(document, program):
    copy = Copy(program)
    text = document.read_text()
    fill = lambda m: f"```console\n$ build/budwood {m[1]}\n{copy.output_of(m[1])}```"
    document.write_text(block.sub(fill, text))
    for arguments, path in picture.findall(text):
        (document.parent / path).write_bytes(copy.drawn(arguments))


def steady(text):
    """An output without what is another one each time: the day on which an entry is noted, and its name."""
    if "recorded by" not in text and "(entry" not in text:
        return text
    text = " ".join(text.split())
    text = re.sub(r"\(entry [a-z0-9]{8}\)", "(entry)", text)
    return re.sub(r"(recorded by \S+) on \w{3} \d+ \w+ \d{4}", r"\1", text)


def wrong_output(document, program):
    text = document.read_text()
    if not block.search(text) and not picture.search(text):
        return 0, []
    copy = Copy(program)
    wrong = []
    blocks, pictures = block.findall(text), picture.findall(text)
    for arguments, printed in blocks:
        real = copy.output_of(arguments)
        if steady(real) != steady(printed):
            wrong.append(f"budwood {arguments} prints:\n{real}\nand not:\n{printed}")
    for arguments, path in pictures:
        file = document.parent / path
        if not file.exists() or copy.drawn(arguments) != file.read_bytes():
            wrong.append(f"{path} is not what budwood {arguments} draws")
    return len(blocks) + len(pictures), wrong


def wrong_excerpts(document):
    """Lines that are said to stand in a file and do not, in the order in which they are shown."""
    found = excerpt.findall(document.read_text())
    wrong = []
    for path, shown in found:
        written = iter((document.parent / path).read_text().splitlines())
        for line in shown.splitlines():
            if not any(line == other for other in written):
                wrong.append(f"`{line.strip()}` does not stand in {path}, or not there")
                break
    return len(found), wrong


def wrong_count(document):
    """README.md says how many methods there are to start from."""
    if document != root / "README.md":
        return 0, []
    there = len(list((root / "protocols").glob("*.bud")))
    said = re.findall(r"(\d+) of them, with sources", document.read_text())
    return 1, [] if said == [str(there)] else [f"the library has {there} methods, not {said}"]


def without_code(text):
    """The text without its blocks and words of code, in which brackets are no links."""
    text = re.sub(r"^ *```.*?^ *```", "", text, flags=re.S | re.M)
    return re.sub(r"`[^`\n]*`", lambda m: m[0] if "](" not in m[0] else "", text)


def anchors(document):
    """What a link can name in a document: its headings in small letters, joined by dashes."""
    headings = re.findall(r"^#+ (.*)$", without_code(document.read_text()), re.M)
    return {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}


def wrong_links(document):
    links = link.findall(without_code(document.read_text()))
    wrong = []
    for target in links:
        if target.startswith(("https://", "http://")):
            continue
        path, _, heading = target.partition("#")
        file = document.parent / path if path else document
        if not file.exists():
            wrong.append(f"there is no {target}")
        elif heading and heading not in anchors(file):
            wrong.append(f"{path or document.name} has no heading for #{heading}")
    return len(links), wrong


@functools.cache
def help_of(program, command):
    """What a command can be given; of none, what commands there are."""
    words = [word for word in (program, command, "--help") if word]
    return subprocess.run(words, capture_output=True, text=True).stdout


@functools.cache
def commands(program):
    listed = help_of(program, "").split("\nCommands:\n")[1].split("\nExamples:")[0]
    return set(re.findall(r"^  ([a-z-]+) ", listed, re.M))


def wrong_commands(document, program):
    """Commands and options that the text names and the program does not have."""
    text = document.read_text()
    written = re.findall(r"(?:^[$ ]*|`)(?:build/)?budwood +([a-z-]+)([^\n`#]*)", text, re.M)
    wrong = []
    for command, rest in written:
        if command not in commands(program):
            wrong.append(f"there is no command `{command}`")
            continue
        for option in re.findall(r"(?<![\w-])--[a-z-]+", rest):
            if not re.search(rf"(?<![\w-]){option}(?![\w-])", help_of(program, command)):
                wrong.append(f"`budwood {command}` has no {option}")
    if document == root / "README.md":
        rows = "\n".join(line.split(" | ")[0] for line in text.splitlines() if line.startswith("| `budwood"))
        named = set(re.findall(r"`budwood ([a-z-]+)", rows))
        wrong += [f"the table does not name `{command}`" for command in sorted(commands(program) - named)]
    return len(written), wrong


def wrong_length(document):
    name = str(document.relative_to(root))
    most = longest.get(name, longest_other)
    lines = len(document.read_text().splitlines())
    return 1, [f"{lines} lines, {most} at most"] if lines > most else []


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    if sys.argv[2:] == ["--refresh"]:
        for document in documents():
            refresh(document, program)
        return 0
    ran, checked, failed = 0, 0, 0
    for document in documents():
        outputs, wrong = wrong_output(document, program)
        links, wrong_targets = wrong_links(document)
        named, unknown = wrong_commands(document, program)
        lengths, too_long = wrong_length(document)
        excerpts, changed = wrong_excerpts(document)
        counts, miscounted = wrong_count(document)
        ran += outputs
        checked += outputs + links + named + lengths + excerpts + counts
        for line in wrong + wrong_targets + unknown + too_long + changed + miscounted:
            failed += 1
            print(f"{document.relative_to(root)}: {line}")
    print(f"{checked - failed} passed, {failed} failed; {ran} commands")
    return 1 if failed or ran == 0 else 0


sys.exit(main())
