"""How long a keystroke, a completion and a start take, and whether memory stays flat: python3 speed.py PROGRAM [EDITS]

A protocol of 500 lines lies beside 30 of the library, with rules of good practice.
"""

import json
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


class Client:
    def __init__(self, program):
        self.server = subprocess.Popen([program, "language-server"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        self.number = 0

    def send(self, message):
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.server.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
        self.server.stdin.flush()

    def receive(self):
        length = 0
        while (line := self.server.stdout.readline().strip()):
            length = int(line.split(b":")[1])
        return json.loads(self.server.stdout.read(length))

    def ask(self, method, params):
        self.number += 1
        self.send({"id": self.number, "method": method, "params": params})
        while (got := self.receive()).get("id") != self.number or "method" in got:
            pass
        return got

    def findings(self):
        while (got := self.receive()).get("method") != "textDocument/publishDiagnostics":
            pass
        return got["params"]["diagnostics"]

    def memory(self):
        status = pathlib.Path(f"/proc/{self.server.pid}/status").read_text()
        return int(status.split("VmRSS:")[1].split()[0]) // 1024


def long_protocol():
    text = (ROOT / "protocols/softwood_cuttings.bud").read_text().replace("softwood_cuttings", "long_cuttings")
    stage = text[text.index("  stage growing_on"):text.index("  stage potting")]
    copies = ""
    while text.count("\n") + copies.count("\n") < 500:
        copies += stage.replace("stage growing_on", f"stage growing_{copies.count('stage growing')}")
    return text.replace("  stage potting", copies + "  stage potting")


def main():
    program = sys.argv[1]
    edits = int(sys.argv[2]) if len(sys.argv) > 2 else 2000
    folder = pathlib.Path(tempfile.mkdtemp())
    for file in sorted((ROOT / "protocols").glob("*.bud"))[:30]:
        shutil.copy(file, folder)
    shutil.copytree(ROOT / "protocols/rules", folder / "rules")
    text = long_protocol()
    document = {"uri": f"file://{folder}/long.bud", "languageId": "budwood", "version": 1, "text": text}
    begin = time.perf_counter()
    client = Client(program)
    client.ask("initialize", {"processId": None, "rootUri": f"file://{folder}", "capabilities": {}})
    start = time.perf_counter() - begin
    client.send({"method": "initialized", "params": {}})
    begin = time.perf_counter()
    client.send({"method": "textDocument/didOpen", "params": {"textDocument": document}})
    client.findings()
    opened = time.perf_counter() - begin
    line = next(i for i, words in enumerate(text.split("\n")) if "stage growing_on" in words) + 1
    strokes, completions = [], []
    version = 1

    def type_in(letter, column):
        nonlocal version
        version += 1
        place = {"line": line, "character": column}
        client.send({"method": "textDocument/didChange", "params": {
            "textDocument": {"uri": document["uri"], "version": version},
            "contentChanges": [{"range": {"start": place, "end": place}, "text": letter}]}})

    for i in range(40):
        begin = time.perf_counter()
        type_in(" ", 4)
        client.findings()
        strokes.append(time.perf_counter() - begin)
        begin = time.perf_counter()
        client.ask("textDocument/completion", {"textDocument": {"uri": document["uri"]},
                                               "position": {"line": line, "character": 4}})
        completions.append(time.perf_counter() - begin)
    before = client.memory()
    for i in range(edits):
        version += 1
        words = {"line": line, "character": 4}
        end = {"line": line, "character": 5}
        client.send({"method": "textDocument/didChange", "params": {
            "textDocument": {"uri": document["uri"], "version": version},
            "contentChanges": [{"range": {"start": words, "end": end}, "text": " "}]}})
        if i % 100 == 99:
            client.ask("textDocument/foldingRange", {"textDocument": {"uri": document["uri"]}})
    client.ask("shutdown", None)
    after = client.memory()
    shutil.rmtree(folder)
    print(f"{text.count(chr(10))} lines; start {start * 1e3:.0f} ms; open {opened * 1e3:.0f} ms; "
          f"keystroke {sorted(strokes)[20] * 1e3:.0f} ms (worst {max(strokes) * 1e3:.0f}); "
          f"completion {sorted(completions)[20] * 1e3:.0f} ms; memory {before} MB, after {edits} edits {after} MB")


main()
