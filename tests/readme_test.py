#!/usr/bin/env python3
"""Runs the commands in README.md and holds their output against what it prints.

    readme_test.py PROGRAM [--refresh]

A block marked `console` starts with one line `$ build/budwood ...`; the rest of it is what the command
prints, standard output before standard error. The commands run one after the other in a copy of the
examples and protocols, so that what one writes the next can read. A picture below
`<!-- build/budwood ... -->` is what that command prints. With --refresh blocks and pictures are rewritten.
"""
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

root = pathlib.Path(__file__).resolve().parent.parent
block = re.compile(r"```console\n\$ build/budwood ([^\n]*)\n(.*?)```", re.S)


picture = re.compile(r"<!-- build/budwood ([^\n]*) -->\n!\[[^\]]*\]\(([^)]+)\)")


class Copy:
    """A copy of what the commands of README.md work on."""

    def __init__(self, program):
        self.program = str(pathlib.Path(program).resolve())
        self.holder = tempfile.TemporaryDirectory()
        for name in ("examples", "protocols"):
            shutil.copytree(root / name, pathlib.Path(self.holder.name) / name)

    def run(self, arguments):
        command = [self.program, *shlex.split(arguments)]
        return subprocess.run(command, cwd=self.holder.name, capture_output=True)

    def drawn(self, arguments):
        return self.run(arguments).stdout

    def output_of(self, arguments):
        run = self.run(arguments)
        return run.stdout.decode() + run.stderr.decode()


def main():
    copy = Copy(sys.argv[1])
    readme = root / "README.md"
    text = readme.read_text()
    if sys.argv[2:] == ["--refresh"]:
        fill = lambda m: f"```console\n$ build/budwood {m[1]}\n{copy.output_of(m[1])}```"
        readme.write_text(block.sub(fill, text))
        for arguments, path in picture.findall(text):
            (root / path).write_bytes(copy.drawn(arguments))
        return 0
    failed = 0
    blocks = block.findall(text)
    for arguments, printed in blocks:
        real = copy.output_of(arguments)
        if real != printed:
            failed += 1
            print(f"budwood {arguments} prints:\n{real}\nREADME.md says:\n{printed}")
    pictures = picture.findall(text)
    for arguments, path in pictures:
        file = root / path
        if not file.exists() or copy.drawn(arguments) != file.read_bytes():
            failed += 1
            print(f"{path} is not what budwood {arguments} draws")
    print(f"{len(blocks) + len(pictures) - failed} passed, {failed} failed")
    return 1 if failed or not blocks else 0


sys.exit(main())
