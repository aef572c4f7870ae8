"""Neovim without a screen as a client of the language server: python3 neovim_test.py PROGRAM

It opens a protocol with mistakes, takes the mends that are offered, renames a supply across a base and a book, tidies, and
ends with no finding.
"""

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
BATCHES = "batches:\n  - {batch: A1, protocol: north, plants: 20, ready: 2027-06-11, lots: {tape: shelf 2}}\n"

SCRIPT = r"""
local program, folder = vim.env.PROGRAM, vim.env.FOLDER
local function fail(why) io.stderr:write(why .. "\n"); vim.cmd("cquit 1") end
local client = vim.lsp.start_client({ name = "budwood", cmd = { program, "language-server" }, root_dir = folder })
if not client then fail("the server did not start") end
vim.cmd("edit " .. folder .. "/north.bud")
local buffer = vim.api.nvim_get_current_buf()
vim.lsp.buf_attach_client(buffer, client)
local uri = vim.uri_from_bufnr(buffer)
local function ask(method, params)
  local got = vim.lsp.buf_request_sync(buffer, method, params, 10000)
  if not got or not got[client] then fail(method .. " was not answered") end
  if got[client].err then fail(method .. ": " .. vim.inspect(got[client].err)) end
  return got[client].result
end
local told = 0
local shown = vim.lsp.handlers["textDocument/publishDiagnostics"]
vim.lsp.handlers["textDocument/publishDiagnostics"] = function(...)
  told = told + 1
  return shown(...)
end
local function findings()
  local before = told
  vim.wait(10000, function() return told > before end)
  vim.wait(200)
  return vim.diagnostic.get(buffer)
end
local first = findings()
if #first < 2 then fail("too few findings: " .. vim.inspect(first)) end
for _ = 1, 5 do
  local open = vim.diagnostic.get(buffer)
  if #open == 0 then break end
  local d = open[1]
  local range = { start = { line = d.lnum, character = d.col }, ["end"] = { line = d.end_lnum, character = d.end_col } }
  local actions = ask("textDocument/codeAction",
    { textDocument = { uri = uri }, range = range, context = { diagnostics = {} } })
  local taken
  for _, action in ipairs(actions) do
    if action.isPreferred and not taken then taken = action end
  end
  if not taken then fail("no mend for " .. vim.inspect(d)) end
  vim.lsp.util.apply_workspace_edit(taken.edit, "utf-16")
  findings()
end
local left = vim.diagnostic.get(buffer)
if #left > 0 then fail("left over: " .. vim.inspect(left)) end
-- Another name for the supply, from its use here.
local line, column
for i, text in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, true)) do
  local at = text:find("tape", 1, true)
  if at then line, column = i - 1, at - 1 end
end
local edit = ask("textDocument/rename",
  { textDocument = { uri = uri }, position = { line = line, character = column }, newName = "ribbon" })
vim.lsp.util.apply_workspace_edit(edit, "utf-16")
-- The base and the book were changed in buffers of their own: saved, the server sees them.
vim.cmd("wall")
findings()
local edits = ask("textDocument/formatting", { textDocument = { uri = uri }, options = { tabSize = 2, insertSpaces = true } })
vim.lsp.util.apply_text_edits(edits, buffer, "utf-16")
findings()
left = vim.diagnostic.get(buffer)
if #left > 0 then fail("at the end: " .. vim.inspect(left)) end
local hover = ask("textDocument/hover", { textDocument = { uri = uri }, position = { line = 1, character = 16 } })
if not hover.contents.value:find("A1") then fail("no dates: " .. vim.inspect(hover)) end
vim.cmd("wall")
vim.lsp.stop_client(client)
vim.cmd("qall")
"""


def main():
    program = sys.argv[1]
    if not shutil.which("nvim"):
        print("skipped: no Neovim")
        return 77
    folder = pathlib.Path(tempfile.mkdtemp())
    try:
        for name, text in (("graft.bud", BASE), ("north.bud", OWN), ("site.yaml", SITE), ("batches.yaml", BATCHES)):
            (folder / name).write_text(text)
        (folder / "script.lua").write_text(SCRIPT)
        done = subprocess.run(["nvim", "--headless", "-u", "NONE", "-i", "NONE", "-n", "-c", f"luafile {folder}/script.lua"],
                              env={"PATH": "/usr/bin:/bin", "HOME": str(folder), "PROGRAM": program, "FOLDER": str(folder)},
                              capture_output=True, text=True, timeout=120)
        if done.returncode != 0:
            print(done.stdout, done.stderr, (folder / "north.bud").read_text())
            return 1
        for name in ("graft.bud", "north.bud", "site.yaml", "batches.yaml"):
            text = (folder / name).read_text()
            if "tape" in text.replace("Tape", "") or "ribbon" not in text:
                print(f"{name} was not renamed:\n{text}")
                return 1
        check = subprocess.run([program, "check", str(folder)], capture_output=True, text=True)
        tidy = subprocess.run([program, "tidy", "--check", str(folder / "north.bud")], capture_output=True, text=True)
        if check.returncode or tidy.returncode:
            print(check.stderr, tidy.stdout)
            return 1
        print("mended, renamed, tidied: no finding is left")
        return 0
    finally:
        shutil.rmtree(folder)


sys.exit(main())
