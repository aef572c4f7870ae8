"""A book that is served while a test runs, and requests to it, from Python's own library alone."""

import http.client
import json
import pathlib
import re
import secrets
import shutil
import socket
import subprocess
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
LETTERS = "abcdefghjkmnpqrstvwxyz"


def new_id():
    return "".join(secrets.choice(LETTERS) for _ in range(16))


class Window:
    """What the server tells an open window by itself."""

    def __init__(self, served, headers=None):
        self.socket = socket.create_connection((served.host, served.port), timeout=60)
        lines = [f"{name}: {value}\r\n" for name, value in (headers or {}).items()]
        self.socket.sendall(f"GET /api/events HTTP/1.1\r\nHost: {served.host}\r\n{''.join(lines)}\r\n".encode())
        self.got = ""
        self.hear("hello")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.socket.close()

    def hear(self, name):
        """The data of the next event of that name; those before it are passed over."""
        while True:
            found = re.search(f"event: {name}\\ndata: (.*)\\n", self.got)
            if found:
                self.got = self.got[found.end():]
                return found[1]
            more = self.socket.recv(65536)
            if not more:
                raise EOFError("the stream has ended")
            self.got += more.decode()


class Served:
    """A copy of a book, served by the program at a free port until `end`."""

    def __init__(self, program, book=ROOT / "examples" / "quarry_lane", options=(), listen="127.0.0.1:0", prepare=None):
        self.program = program
        self.top = pathlib.Path(tempfile.mkdtemp(prefix="page-test-"))
        self.folder = self.top / "books" / "book"
        shutil.copytree(book, self.folder)
        if not (self.top / "protocols").exists():
            (self.top / "protocols").symlink_to(ROOT / "protocols")
        if prepare:
            prepare(self.folder)
        self.options = options
        self.listen = listen
        self.start()

    def start(self):
        self.process = subprocess.Popen([self.program, "serve", str(self.folder), "--listen", self.listen, *self.options],
                                        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        line = self.process.stdout.readline()
        found = re.search(r"http://([\d.]+):(\d+)/", line)
        assert found, f"not served: {line} {self.process.stderr.read()}"
        self.host, self.port = found.group(1), int(found.group(2))
        if self.host == "0.0.0.0":
            self.host = "127.0.0.1"
        self.token = None

    def stop(self):
        """Without a warning, as when the power fails."""
        self.process.kill()
        self.process.wait()
        self.process.stdout.close()
        self.process.stderr.close()

    def end(self):
        if self.process.poll() is None:
            self.stop()
        shutil.rmtree(self.top, ignore_errors=True)

    @property
    def url(self):
        return f"http://{self.host}:{self.port}"

    def ask(self, method, path, body=None, headers=None, timeout=60):
        """The status, headers and bytes of an answer."""
        connection = http.client.HTTPConnection(self.host, self.port, timeout=timeout)
        try:
            connection.request(method, path, body, headers or {})
            answer = connection.getresponse()
            return answer.status, dict((k.lower(), v) for k, v in answer.getheaders()), answer.read()
        finally:
            connection.close()

    def get(self, path, **headers):
        status, _, body = self.ask("GET", path, headers=headers)
        assert status == 200, (path, status, body[:300])
        return json.loads(body)

    def post(self, name, body, **headers):
        """The status and the answer; with the token that a window would have learned."""
        if self.token is None:
            self.token = self.get("/api/state", **headers)["token"]
        status, _, answer = self.ask("POST", "/api/" + name, json.dumps(body),
                                     {"Content-Type": "application/json", "X-Token": self.token, **headers})
        return status, json.loads(answer)

    def note(self, *lines, **headers):
        _, answer = self.post("note", {"entries": [{"id": new_id(), "line": line} for line in lines]}, **headers)
        return [one["state"] for one in answer["entries"]]

    def recorded(self):
        """What the record holds, as the program lists it."""
        done = subprocess.run([self.program, "record", str(self.folder), "--export"], capture_output=True, text=True, check=True)
        return [json.loads(line) for line in done.stdout.splitlines()]

    def wait_for(self, what, seconds=30):
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            found = what()
            if found:
                return found
            time.sleep(0.05)
        raise AssertionError("waited in vain")
