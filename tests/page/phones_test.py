"""Many phones at the benches at once: python3 phones_test.py PROGRAM [SECONDS] [PHONES] [A SECOND] [BATCHES]

Each phone has the page open: it hears what the server tells by itself and then asks for the day anew, as the page
does. Together they note so many entries a second. What they were told is noted must be in the record, every one once;
how long they wait and what the server takes of memory is told, and held to limits that leave room for a busy machine.
"""

import asyncio
import json
import os
import pathlib
import random
import statistics
import sys
import time

from serving import Served, new_id

CALM = 1.0  # seconds: a window does not ask for all anew more often (server.js)


def write_batches(folder, number, protocol="softwood_cuttings"):
    """Batches of one method, ready on days of half a year."""
    lines = ["batches:"]
    for i in range(number):
        lines += [f"  - batch: B{i}", f"    protocol: {protocol}", f"    plants: {300 + i % 500}",
                  f"    ready: 2027-{5 + i % 7:02}-{1 + i % 28:02}"]
    (folder / "site.yaml").write_text("site: Many batches\nprotocols: ../../protocols\n")
    (folder / "batches.yaml").write_text("\n".join(lines) + "\n")


class Connection:
    """One that is kept open; asyncio's streams, because hundreds of threads would be measured themselves."""

    def __init__(self, served):
        self.served = served
        self.writer = None
        self.turn = asyncio.Lock()

    async def ask(self, method, path, body=b"", headers=""):
        """The body of the answer, one question after the other."""
        async with self.turn:
            return await self.ask_now(method, path, body, headers)

    async def ask_now(self, method, path, body, headers):
        """A connection that has rested is closed by the server, and made anew."""
        for again in (False, True):
            if self.writer is None:
                self.reader, self.writer = await asyncio.open_connection(self.served.host, self.served.port)
            try:
                self.writer.write(f"{method} {path} HTTP/1.1\r\nHost: {self.served.host}\r\nContent-Length: {len(body)}\r\n{headers}\r\n".encode() + body)
                head = await self.reader.readuntil(b"\r\n\r\n")
                length = next(int(line[15:]) for line in head.decode().split("\r\n") if line.lower().startswith("content-length:"))
                return await self.reader.readexactly(length)
            except (asyncio.IncompleteReadError, OSError):
                self.writer.close()
                self.writer = None
                if again:
                    raise

    def close(self):
        if self.writer is not None:
            self.writer.close()


class Phone:
    def __init__(self, served, number, batch, day):
        self.number, self.batch, self.day = number, batch, day
        self.served = served
        self.connection = Connection(served)
        self.views = Connection(served)
        self.noted, self.times = [], []
        self.looks = 0

    async def open(self):
        """Opens the page: what it shows, and the stream."""
        self.token = json.loads(await self.connection.ask("GET", "/api/state"))["token"]
        await self.views.ask("GET", f"/api/today?day={self.day}")
        self.reader, self.writer = await asyncio.open_connection(self.served.host, self.served.port)
        self.writer.write(f"GET /api/events HTTP/1.1\r\nHost: {self.served.host}\r\n\r\n".encode())
        await self.reader.readuntil(b"event: hello")

    async def listen(self):
        while True:
            await self.reader.readuntil(b"event: planned")
            self.looks += 1
            await self.views.ask("GET", "/api/state")
            await self.views.ask("GET", f"/api/today?day={self.day}")
            await asyncio.sleep(CALM)

    async def note(self):
        entry = {"id": new_id(), "line": f'{self.batch} note "phone {self.number}, entry {len(self.times)}" on {self.day}'}
        begun = time.monotonic()
        answer = json.loads(await self.connection.ask("POST", "/api/note", json.dumps({"entries": [entry]}).encode(),
                                                      f"Content-Type: application/json\r\nX-Token: {self.token}\r\n"))
        self.times.append(time.monotonic() - begun)
        if answer["entries"][0]["state"] == "noted":
            self.noted.append(entry["id"])


def memory(process):
    """What a process has in memory, MB."""
    for line in pathlib.Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    return 0


def processor_time(process):
    """What a process has used, seconds."""
    fields = pathlib.Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


async def run(served, seconds, phones, rate):
    """The phones after `seconds`, and the memory of the server along the way."""
    entries = served.get("/api/season")["batches"]
    day = "2027-05-03"
    all_phones = [Phone(served, i, entries[i % len(entries)]["id"], day) for i in range(phones)]
    for phone in all_phones:
        await phone.open()
    listeners = [asyncio.create_task(phone.listen()) for phone in all_phones]
    begun, noting, sizes = time.monotonic(), [], []
    count = int(seconds * rate)
    order = random.sample(all_phones, phones)
    for i in range(count):
        await asyncio.sleep(max(0, begun + i / rate - time.monotonic()))
        noting.append(asyncio.create_task(order[i % phones].note()))
        if i % max(1, count // 20) == 0:
            sizes.append(memory(served.process.pid))
    await asyncio.gather(*noting)
    sizes.append(memory(served.process.pid))
    for listener in listeners:
        failure = listener.exception() if listener.done() else None
        assert failure is None, f"a phone has lost its stream: {failure!r}"
        listener.cancel()
    return all_phones, sizes


def main():
    program = sys.argv[1]
    seconds, phones, rate, batches = [int(given) if given else usual for given, usual in
                                      zip(sys.argv[2:6] + [""] * 4, (8, 200, 5, 0))]
    served = Served(program, prepare=(lambda folder: write_batches(folder, batches)) if batches else None)
    try:
        all_phones, sizes = asyncio.run(run(served, seconds, phones, rate))
        used = processor_time(served.process.pid)
        recorded = [entry["id"] for entry in served.recorded()]
    finally:
        served.end()
    noted = [entry for phone in all_phones for entry in phone.noted]
    times = sorted(one for phone in all_phones for one in phone.times)
    p99 = times[min(len(times) - 1, int(0.99 * len(times)))]
    print(f"{phones} phones, {rate} entries a second for {seconds} s: {len(times)} sent, {len(noted)} noted, {len(recorded)} in the record")
    print(f"a tick: median {1000 * statistics.median(times):.0f} ms, p99 {1000 * p99:.0f} ms, longest {1000 * times[-1]:.0f} ms; "
          f"days asked for anew: {sum(phone.looks for phone in all_phones)}")
    print(f"processor time: the server {used:.1f} s, the phones {sum(os.times()[:2]):.1f} s")
    print("memory: " + " ".join(f"{size:.0f}" for size in sizes) + " MB")
    assert len(noted) == len(times) and sorted(noted) == sorted(recorded), "entries were lost, or came twice"
    # Ten times what is aimed at: here other programs run beside it.
    assert p99 < 2, "a tick takes too long"
    # Once the first plans are made it does not grow; two snapshots may be there at a time.
    settled = sizes[len(sizes) // 4:]
    assert max(settled) < 1.5 * min(settled) + 20, "memory grows"


if __name__ == "__main__":
    main()
