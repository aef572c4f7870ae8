#include "app/writing/first_book.hpp"

#include <map>
#include <set>

#include "sheet/row.hpp"
#include "sheet/sheet.hpp"
#include "sheet/template/compile.hpp"

namespace budwood::app {

namespace {

constexpr double first_plants = 100;

constexpr const char* first_protocol =
    R"(# A method: what is done, when, with what. Change the numbers to yours; `budwood check .` says what is
# wrong with them, and with `budwood language-server` your editor says it while you type.

protocol first_cuttings "First cuttings" {
  edition 1
  crop "your crop"
  source "House practice: write here where the figures come from"

  # What differs from year to year has a name, a usual value and a range.
  input take = 85 % from 40 % to 100 % "cuttings that root"

  supply shoot "Soft shoot"          in shoots
  supply mix   "Rooting mix"         in L       pack 70 L  hazard dust
  supply tray  "Plug tray, 50 cells" in trays   reused
  supply label "Tray label"          in labels  pack 100

  observe rooted in % "cuttings that hold when tugged, ten a tray"

  part cutting "Rooted cutting"

  stage sticking of cutting "Taking and sticking" {
    lasts 1 day
    room bench
    do "Wash bench, knife and trays" at start {
      time 20 min
      crew propagation
      tagged sanitation
    }
    do "Take shoots, trim below a node, stick, label, water in" on day 1 {
      rate 150 per hour
      crew propagation
      use 1 shoot each
      use 25 mL mix each
      use 1 tray per 50
      use 1 label per 50
      tagged cutting, labelling
      caution "Small sharp knife: cut away from the body, a thumb guard or finger tape. Mix: moisten it before it is worked."
    }
  }

  stage rooting of cutting "Rooting" {
    lasts 14 to 28 days usually 21 days
    until rooted >= 80 %, at most 35 days
    room bench
    space ceil(plants / 50) trays
    keep air 20 degC
    keep humidity 90 % until day 7
    taper humidity 90 % to 65 % from day 8 to last day
    loses 1 - take
    do "Look, water, take out what is dead" every 2 days from day 2 {
      time 10 min
      crew propagation
      tagged water
    }
    do "Tug ten cuttings a tray" every 4 days from day 10 {
      time 10 min
      crew propagation
      record rooted
    }
  }

  stage growing_on of cutting "Growing on" {
    lasts 3 weeks to 5 weeks usually 4 weeks
    may wait 7 days  # they keep for a week when nobody has time
    room bench
    space ceil(plants / 50) trays
    keep air 18 degC
    loses 3 %
    do "Water by the weight of the tray" every 2 days from day 1 {
      time 10 min
      crew propagation
      tagged water
    }
  }
}
)";

/// The rooms, crews and supplies that a protocol names.
struct Needs {
  std::map<std::string, bool> rooms;  ///< by name: whether mist runs there
  std::set<std::string> crews, supplies;
  bool climate = false;
};

Needs needs_of(const language::Protocol& protocol) {
  Needs out;
  for (const language::Stage& stage : protocol.stages) {
    if (!stage.room.empty()) {
      bool& mist = out.rooms[stage.room];
      mist = mist || !stage.mists.empty();
    }
    out.climate = out.climate || language::follows_site(stage);
    for (const language::Work& work : stage.works) {
      if (!work.crew.empty()) out.crews.insert(work.crew);
    }
    for (const language::Contingency& one : stage.contingencies) {
      for (const auto& action : one.actions) {
        if (!action.work.crew.empty()) out.crews.insert(action.work.crew);
      }
    }
  }
  for (const language::Supply& supply : protocol.supplies) out.supplies.insert(supply.name);
  return out;
}

/// A day on which a batch can be ready that starts in three weeks at the earliest.
calendar::Day ready_day(const language::Protocol& protocol, calendar::Day today) {
  constexpr int weeks = 156;
  text::Diagnostics unheard;
  auto made = sheet::compile(protocol, unheard);
  const calendar::Day first = today + 21;
  if (made == nullptr) return first + 365;
  sheet::Sheet sheet(std::move(made), sheet::Site{});
  for (int week = 0; week < weeks; ++week) {
    sheet::BatchFacts batch;
    batch.plants = first_plants;
    batch.ready = first + 7 * week;
    sheet.add(batch);
  }
  sheet.evaluate();
  for (std::size_t i = 0; i < sheet.size(); ++i) {
    const sheet::Row row(sheet, i);
    if (!row.dated() || row.conflict() != nullptr) continue;
    bool later = true;
    for (std::size_t s = 0; s < row.protocol().stages.size(); ++s) {
      later = later && row.start(language::StageId(s)) >= first;
    }
    if (later) return *row.facts().ready;
  }
  return first + 365;
}

std::string site_yaml(const Needs& needs, bool of_library) {
  std::string out =
      "# The place. Everything that is not said here is left open: no room is ever full, nothing "
      "has\n"
      "# a price. Add what you know, line by line; the manual has a page on it (book.md).\n"
      "site: My nursery\n"
      "latitude: 50                  # south of the equator it is negative, and seasons move\n";
  if (of_library) {
    out +=
        "protocols: budwood            # the library that came with Budwood\n"
        "rules: [good_practice]        # what methods are held against\n";
  } else {
    out +=
        "# protocols: budwood          # the library that came with Budwood, with rules:\n"
        "# rules: [good_practice]\n";
  }
  out +=
      "# working: {days: [mon, tue, wed, thu, fri]}   # every day, unless you say otherwise\n"
      "sure: 90 %                    # how sure a batch must be to reach its number\n";
  if (needs.climate) {
    out +=
        "climate:                      # what is usual here; some stages follow it\n"
        "  normals: {jan: [-1, 4], feb: [-1, 6], mar: [1, 10], apr: [4, 15], may: [8, 19], "
        "jun: [11, 22],\n"
        "    jul: [13, 24], aug: [13, 24], sep: [10, 20], oct: [6, 14], nov: [3, 8], dec: [0, "
        "5]}\n";
  }
  out +=
      "rooms:                        # holds: how much stands there, such as {holds: 40 trays}\n";
  for (const auto& [name, mist] : needs.rooms) {
    out += "  " + name + (mist ? ": {zones: 4, mist_flow: 1 L/min}\n" : ": {zones: 4}\n");
  }
  if (!needs.crews.empty()) out += "crews:\n";
  for (const std::string& name : needs.crews) out += "  " + name + ": {people: 4, hours: 7 h}\n";
  if (!needs.supplies.empty())
    out += "supplies:                     # what is there, what it costs\n";
  for (const std::string& name : needs.supplies) out += "  " + name + ": {on_hand: 0}\n";
  return out;
}

std::string batches_yaml(const std::string& protocol, calendar::Day ready) {
  return "# What is to be raised: so many plants, ready by a day. `budwood plan .` makes work "
         "orders of it.\n"
         "batches:\n"
         "  - batch: B1                 # your name for it\n"
         "    protocol: " +
         protocol +
         "\n"
         "    plants: 100\n"
         "    ready: " +
         calendar::iso_date(ready) + "\n";
}

/// A protocol of one's own that begins from another one.
std::string own_protocol(const language::Protocol& from, const std::string& name) {
  std::string out = "# Our way: what is not said here is as in the library's `" + from.name +
                    "`, which stays as it is.\n\nprotocol " + name + " based on " + from.name +
                    " edition " + std::to_string(from.edition) + " \"" + from.title +
                    ", our way\" {\n  edition 1\n";
  out += "  # What you know better, for example:\n";
  for (const language::Input& input : from.inputs) {
    out += "  # set " + input.name + " = ...  # " + input.title + "\n";
  }
  if (!from.stages.empty()) {
    out += "  # change stage " + from.stages.front().name + " { note \"...\" }\n";
  }
  return out + "}\n";
}

}  // namespace

std::vector<files::NewFile> first_book(const std::filesystem::path& folder,
                                       const language::Protocol* from, calendar::Day today) {
  language::Protocol own;
  std::string name = "first_cuttings";
  std::string text = first_protocol;
  if (from == nullptr) {
    const text::Source source("first_cuttings.bud", first_protocol);
    text::Diagnostics unheard;
    own = language::read(source, unheard).protocols.front();
  } else {
    own = *from;
    name = "our_" + from->name;
    text = own_protocol(*from, name);
  }
  const Needs needs = needs_of(own);
  return {{folder / "site.yaml", site_yaml(needs, from != nullptr), false},
          {folder / "batches.yaml", batches_yaml(name, ready_day(own, today)), false},
          {folder / (name + ".bud"), text, false}};
}

}  // namespace budwood::app
