"""Every message of the language server has the form that the protocol's own types ask for: python3 message_forms_test.py PROGRAM

A session asks for everything that the server offers. What it says becomes a TypeScript file, in which each message is of its type, and
the compiler reads that. Types and compiler come from npm; ends with status 77 where that cannot be reached.
"""

import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

BASE = """protocol graft "Graft" {
  edition 1
  supply tape "Tape" in m
  part p "P"
  stage joining of p {
    lasts 2 days
    room bench
    do "Tie" on day 1 { time 5 min  use 2 m tape }
  }
}
"""
OWN = """protocol north based on graft edition 1 "North" {
  change stage joining {
    lasts 3 to 5 days
    kep air 20 degC
    do "Tie again" on day 2 { time 5 min  use 1 m tape }
  }
}
"""
SITE = "site: Hill\nrooms: {bench: {}}\nsupplies:\n  tape: {on_hand: 3 m}\n"
BATCHES = "batches:\n  - {batch: A1, protocol: graft, plants: 20, ready: 2027-06-11}\n"

# What answers a request, and what a notification or a request of the server carries.
ANSWERS = {
    "initialize": "InitializeResult", "textDocument/completion": "CompletionItem[] | CompletionList | null", "textDocument/hover": "Hover | null",
    "textDocument/definition": "Definition | null", "textDocument/declaration": "Declaration | null", "textDocument/references": "Location[] | null",
    "textDocument/prepareRename": "PrepareRenameResult | null", "textDocument/rename": "WorkspaceEdit | null", "textDocument/formatting": "TextEdit[] | null",
    "textDocument/codeAction": "(Command | CodeAction)[] | null", "textDocument/documentSymbol": "DocumentSymbol[] | null",
    "textDocument/foldingRange": "FoldingRange[] | null", "textDocument/semanticTokens/full": "SemanticTokens | null", "textDocument/codeLens": "CodeLens[] | null",
    "shutdown": "null"}
TOLD = {"textDocument/publishDiagnostics": "PublishDiagnosticsParams", "client/registerCapability": "RegistrationParams", "window/logMessage": "LogMessageParams"}


class Session:
    def __init__(self, program):
        self.server = subprocess.Popen([program, "language-server"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        self.number = 0
        self.typed = []  # (type, value)
        self.seen = set()

    def send(self, message):
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.server.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
        self.server.stdin.flush()

    def tell(self, method, params):
        self.send({"method": method, "params": params})

    def receive(self):
        length = 0
        while (line := self.server.stdout.readline().strip()):
            length = int(line.split(b":")[1])
        message = json.loads(self.server.stdout.read(length))
        assert message["jsonrpc"] == "2.0", message
        if "method" in message:
            self.typed.append((TOLD[message["method"]], message["params"]))
            self.seen.add(message["method"])
        return message

    def ask(self, method, params):
        """The answer, held to its type; a refusal is an error of the protocol."""
        self.number += 1
        self.send({"id": self.number, "method": method, "params": params})
        while (got := self.receive()).get("id") != self.number or "method" in got:
            pass
        assert ("result" in got) != ("error" in got), got
        if "error" in got:
            self.typed.append(("{ code: number; message: string }", got["error"]))
        else:
            self.typed.append((ANSWERS[method], got["result"]))
            if got["result"]:
                self.seen.add(method)
        return got.get("result")

    def wait_for_findings(self, uri):
        while (got := self.receive()).get("method") != "textDocument/publishDiagnostics" or got["params"]["uri"] != uri:
            pass
        return got["params"]["diagnostics"]


def talk(program, folder):
    for name, text in (("graft.bud", BASE), ("north.bud", OWN), ("site.yaml", SITE), ("batches.yaml", BATCHES)):
        (folder / name).write_text(text)
    session = Session(program)
    session.ask("initialize", {"processId": None, "rootUri": None, "workspaceFolders": [{"uri": folder.as_uri(), "name": "book"}],
                               "capabilities": {"workspace": {"didChangeWatchedFiles": {"dynamicRegistration": True}}}})
    session.tell("initialized", {})
    documents = {}
    for name in ("graft.bud", "north.bud", "site.yaml", "batches.yaml"):
        uri = (folder / name).as_uri()
        documents[name] = {"textDocument": {"uri": uri}}
        session.tell("textDocument/didOpen", {"textDocument": {"uri": uri, "languageId": "budwood", "version": 1, "text": (folder / name).read_text()}})
    found = session.wait_for_findings(documents["north.bud"]["textDocument"]["uri"])
    assert found, "no finding"
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}
    for name, document in documents.items():
        for line in range(9):
            for character in (0, 2, 4, 9, 15, 40):
                here = {**document, "position": {"line": line, "character": character}}
                for method in ("completion", "hover", "definition", "declaration"):
                    session.ask(f"textDocument/{method}", here)
                session.ask("textDocument/references", {**here, "context": {"includeDeclaration": True}})
                session.ask("textDocument/prepareRename", here)
                session.ask("textDocument/rename", {**here, "newName": "ribbon"})
        session.ask("textDocument/formatting", {**document, "options": {"tabSize": 2, "insertSpaces": True}})
        session.ask("textDocument/codeAction", {**document, "range": whole, "context": {"diagnostics": found if name == "north.bud" else []}})
        for method in ("documentSymbol", "foldingRange", "semanticTokens/full", "codeLens"):
            session.ask(f"textDocument/{method}", document)
    session.tell("textDocument/didChange", {"textDocument": {"uri": 7}})
    session.ask("shutdown", None)
    session.tell("exit", None)
    assert session.server.wait(30) == 0
    missing = set(ANSWERS) - {"shutdown"} - session.seen
    assert not missing, f"never answered with anything: {missing}"
    assert set(TOLD) <= session.seen, f"never told: {set(TOLD) - session.seen}"
    return session.typed


def types_from_npm():
    folder = pathlib.Path(tempfile.gettempdir()) / f"budwood-types-{os.getuid()}"
    compiler = folder / "node_modules/typescript/bin/tsc"
    types = folder / "node_modules/vscode-languageserver-protocol"
    if not compiler.exists() or not types.exists():
        folder.mkdir(mode=0o700, exist_ok=True)
        subprocess.run(["npm", "install", "--silent", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", str(folder),
                        "typescript@5", "vscode-languageserver-protocol@3.17.5"], capture_output=True, timeout=120)
    return folder if compiler.exists() and types.exists() else None


def main():
    program = pathlib.Path(sys.argv[1]).resolve()
    if not shutil.which("npm") or not shutil.which("node"):
        print("skipped: no npm")
        return 77
    try:
        types = types_from_npm()
    except (subprocess.SubprocessError, OSError):
        types = None
    if types is None:
        print("skipped: the protocol's types could not be had from npm")
        return 77
    with tempfile.TemporaryDirectory() as work:
        folder = pathlib.Path(work)
        typed = talk(program, folder)
        # Each form once: many answers are the same but for their numbers.
        lines = dict.fromkeys(f"typed<{form}>({json.dumps(value)});" for form, value in typed)
        source = types / "messages.ts"
        source.write_text("import type * as lsp from 'vscode-languageserver-protocol';\n"
                          + "".join(f"type {name} = lsp.{name};\n" for name in NAMES)
                          + "function typed<T>(_: T) {}\n" + "\n".join(lines) + "\n")
        checked = subprocess.run(["node", types / "node_modules/typescript/bin/tsc", "--noEmit", "--strict", "--skipLibCheck", "--target", "es2022",
                                  "--module", "node16", "--moduleResolution", "node16", source], capture_output=True, text=True, cwd=types)
        if checked.returncode != 0:
            print(checked.stdout[:4000])
            return 1
        print(f"{len(typed)} messages, {len(lines)} different ones, each of its type")
    return 0


NAMES = ["InitializeResult", "CompletionItem", "CompletionList", "Hover", "Definition", "Declaration", "Location", "PrepareRenameResult", "WorkspaceEdit",
         "TextEdit", "Command", "CodeAction", "DocumentSymbol", "FoldingRange", "SemanticTokens", "CodeLens", "PublishDiagnosticsParams",
         "RegistrationParams", "LogMessageParams"]

if __name__ == "__main__":
    sys.exit(main())
