"""Has a scanner of Debian look for holes in the page: /usr/bin/python3 scan.py PROGRAM

Serves the example book to people who sign in, gives every address of the page to wapiti (`apt-get install wapiti`),
which tries what is known to break such pages (markup and commands in every parameter, paths, redirects, headers,
cookies, methods), and prints what it finds. Ends with 1 when it finds anything, or when the server is not well
afterwards; with 77 where there is no wapiti. It takes some minutes, so it is no test that always runs.
"""

import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

from serving import Served

VIEWS = ["", "today", "season", "sheet", "batch", "why", "needs", "results", "methods", "help"]
QUESTIONS = ["state", "batches", "today?day=2027-03-08&crew=grafting&room=bench", "season", "batch?batch=BM27-1", "needs",
             "why?batch=BM27-1&cell=ready&all=1", "results?of=take&by=batch&first=a&second=b", "methods",
             "method?file=approach_graft.bud", "sheet?sheet=0&all=1&filter=BM", "rows?from=0&to=9&sort=batch.plants&down=1&filter=BM",
             "topic?topic=lasts"]
PICTURES = ["batch?batch=BM27-1&turn=1", "results?of=take&by=batch", "method?protocol=approach_graft&turn=0"]
# Without those that look for named products, or want lists from elsewhere.
MODULES = "backup,blindsql,buster,cookieflags,crlf,csp,exec,file,htaccess,http_headers,methods,permanentxss,redirect,shellshock,sql,ssrf,xss,xxe"


# What is found and is no hole, with the reason.
ANSWERED = {"X-XSS-Protection is not set": "browsers have given that header up; the content security policy stands in its place"}


def add_people(program):
    def add(folder):
        subprocess.run([program, "people", str(folder), "--add", "Paul", "--role", "plan"], input="three plain words\n",
                       text=True, check=True, capture_output=True)
    return add


def main():
    program = sys.argv[1]
    if shutil.which("wapiti") is None:
        print("There is no wapiti here: skipped.")
        return 77
    served = Served(program, prepare=add_people(program))
    try:
        _, headers, _ = served.ask("POST", "/api/sign-in", json.dumps({"name": "Paul", "password": "three plain words"}), {"X-Token": "none"})
        cookie = {"Cookie": headers["set-cookie"].split(";")[0]}
        # As through the proxy of the manual.
        through = ["-H", f"Cookie: {cookie['Cookie']}", "-H", "X-Forwarded-Proto: https"]
        before = (served.folder / "batches.yaml").read_bytes()
        addresses = [f"/{one}" for one in VIEWS] + [f"/api/{one}" for one in QUESTIONS] + [f"/picture/{one}" for one in PICTURES]
        with tempfile.TemporaryDirectory() as top:
            report = pathlib.Path(top) / "report.json"
            asked = [word for address in addresses for word in ("-s", served.url + address)]
            done = subprocess.run(["wapiti", "-u", served.url + "/", *asked, *through, "-m", MODULES,
                                   "--scope", "domain", "--max-scan-time", "900", "--no-bugreport", "-f", "json", "-o", str(report), "--flush-session",
                                   "--store-session", top], capture_output=True, text=True)
            found = json.loads(report.read_text()) if report.exists() else None
        if found is None:
            print(done.stdout[-2000:], done.stderr[-2000:])
            return 1
        findings = [(kind, one) for part in ("vulnerabilities", "anomalies") for kind, ones in found[part].items() for one in ones]
        for kind, one in findings:
            print(f"{kind}: {one['method']} {one['path']} {one['parameter']}: {one['info']}"
                  + (f" ({ANSWERED[one['info']]})" if one["info"] in ANSWERED else ""))
        findings = [(kind, one) for kind, one in findings if one["info"] not in ANSWERED]
        print(f"{len(findings)} findings to answer at {len(addresses)} addresses")
        assert (served.folder / "batches.yaml").read_bytes() == before, "the scanner has changed the book"
        assert served.get("/api/state", **cookie)["site"], "the server is not well"
        return 1 if findings else 0
    finally:
        served.end()


if __name__ == "__main__":
    sys.exit(main())
