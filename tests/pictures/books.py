"""Books whose pictures are hard to draw, for the tests beside this file."""

import datetime
import pathlib

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
LONG = ("A very long title with <b>markup</b> & an ampersand, \u202eturned round\u202c, an emoji \U0001F331 "
        "and \u05d0\u05d1\u05d2 letters from the right, " + "which goes on and on " * 90)[:1900].strip()
SITE = LONG[:150].strip()  # a site has a shorter name


def write(folder, site, batches, protocol=None):
    folder.mkdir(parents=True)
    (folder / "site.yaml").write_text(site)
    (folder / "batches.yaml").write_text(batches)
    if protocol:
        (folder / "own.bud").write_text(protocol)
    return folder


def year_of_batches(folder, count=60):
    """Batches of both protocols that ship, all through a year."""
    first = datetime.date(2027, 3, 1)
    lines = ["batches:"]
    for i in range(count):
        ready = first + datetime.timedelta(days=i * 350 // count)
        name = ("approach_graft", "softwood_cuttings")[i % 2]
        lines.append(f"  - {{batch: B{i:02}, protocol: {name}, plants: {100 + 37 * (i % 9)}, ready: {ready}}}")
    site = (f"site: Sixty Acre Nursery\nlatitude: 50\nprotocols: {ROOT / 'protocols'}\n"
            "working: {days: [mon, tue, wed, thu, fri, sat, sun]}\n"
            "rooms:\n  germination_room: {holds: 90 trays, zones: 9}\n  bench: {zones: 20}\n  grafting_room: {}\n"
            "  mist_frame: {zones: 20, mist_flow: 1 L/min}\n  potting_shed: {}\n"
            "crews: {sowing: {people: 2, hours: 6 h}, grafting: {people: 2, hours: 7 h}, "
            "propagation: {people: 3, hours: 6 h}}\n")
    return write(folder, site, "\n".join(lines) + "\n")


def long_titles(folder):
    """Titles of 1900 characters, fourteen rooms, stages of one day, a gate, ranges and waits."""
    stages = []
    for i in range(14):
        days = (1, 3, 12)[i % 3]
        length = f"lasts {days} days" if days < 12 else "lasts 10 to 16 days usually 12 days"
        gate = "\n    until callus >= 80 %, at most 16 days" if days == 12 else ""
        stages.append(f"""  stage s{i} of plant "{LONG}" {{
    {length}{gate}
    may wait 2 days
    room room_with_a_long_name_{i}
    keep air {15 + i} degC to {18 + i} degC by day
    keep air {14 + i} degC by night
    keep root_zone {15 + i} degC
    keep humidity {60 + 2 * i} %
    keep light 150 umol/m2/s for 14 h
    mist 6 s every 20 min from 06:00 to 20:00
    do "{LONG}" daily {{ time 20 min }}
  }}
""")
    protocol = (f'protocol own "{LONG}" {{\n  observe callus in % "callus"\n  part plant "{LONG}"\n'
                + "".join(stages) + "}\n")
    site = f'site: "{SITE}"\nworking: {{days: [mon, tue, wed, thu, fri]}}\n'
    batches = ("batches:\n  - {batch: L1, protocol: own, plants: 50, ready: 2027-06-18}\n"
               f'  - {{batch: {"L" * 40}, protocol: own, plants: 9999999, ready: 2027-08-20, note: "{LONG}"}}\n')
    return write(folder, site, batches, protocol)


def one_day(folder):
    """A single stage that is over on its day."""
    protocol = ('protocol own {\n  part a\n  stage s of a {\n    lasts 2 hours\n    room r\n'
                '    keep air 20 degC\n    do "Do it" on day 1 { time 5 min }\n  }\n}\n')
    return write(folder, "site: Tiny\n", "batches:\n  - {batch: T, protocol: own, plants: 1, ready: 2027-06-18}\n",
                 protocol)
