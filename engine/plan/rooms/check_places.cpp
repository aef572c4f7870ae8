#include <algorithm>
#include <map>
#include <set>

#include "plan/making/check_water.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"

namespace budwood::plan {

namespace {

/// A protocol and the line in which it asks for something.
struct Asked {
  const language::Protocol* protocol = nullptr;
  text::Span span;
};
/// By name of what is asked for; each protocol once, with its first line.
using AllAsked = std::map<std::string, std::vector<Asked>>;

void ask(AllAsked& all, const std::string& name, const language::Protocol& protocol,
         const text::Span& span) {
  if (name.empty()) return;
  std::vector<Asked>& asked = all[name];
  if (asked.empty() || asked.back().protocol != &protocol) asked.push_back({&protocol, span});
}

template <class Map>
void report_missing(const AllAsked& all, const Map& known, const std::string& what,
                    const std::string& code, const book::Site& site,
                    text::Diagnostics& diagnostics) {
  if (known.empty()) return;
  std::vector<std::string> names;
  for (const auto& [name, facts] : known) names.push_back(name);
  for (const auto& [name, asked] : all) {
    if (known.contains(name)) continue;
    text::Diagnostic d;
    d.severity = text::Severity::warning;
    d.code = code;
    d.span = asked.front().span;
    const std::string_view written = text::text_of(asked.front().span);
    const std::string in_protocol =
        written == name ? "" : ", which the protocol calls `" + std::string(written) + "`";
    d.message = "The site \"" + site.name.value + "\" has no " + what + " `" + name + "`" +
                in_protocol + ".";
    d.advice = text::did_you_mean(name, names);
    for (std::size_t i = 1; i < asked.size(); ++i) {
      d.related.push_back({asked[i].span, "`" + asked[i].protocol->name + "` needs it too."});
    }
    diagnostics.add(std::move(d));
  }
}

/// A stage, or some of its days, that a room cannot count.
struct Uncounted {
  const language::Stage* stage = nullptr;
  const language::Space* space = nullptr;  ///< none: the stage does not say it
};

std::string names_of(const std::vector<Uncounted>& stages) {
  std::vector<std::string> names;
  for (const Uncounted& one : stages) {
    const std::string name = "`" + one.stage->name + "`";
    if (names.empty() || names.back() != name) names.push_back(name);
  }
  return text::list_words(names);
}

/// What is wrong with the space of stages that a room cannot count.
void report_uncounted(const RoomPlace& place, const language::Protocol& protocol,
                      const std::vector<Uncounted>& stages, text::Diagnostics& diagnostics) {
  const Uncounted& first = stages.front();
  const std::string holds =
      "room `" + place.room + "`, which holds " + units::format(*place.holds, place.unit);
  const std::string who = names_of(stages) + " of `" + protocol.name + "`";
  const bool one = stages.size() == 1;
  if (first.space != nullptr) {
    const units::Unit unit = space_unit(*first.space);
    const bool footprint = unit.dimension == units::count && place.unit.dimension == units::area;
    diagnostics.warning(
        "space-unit", first.space->span,
        who + (one ? " takes " : " take ") + unit.symbol + " of " + holds +
            ", so nobody can tell how full it is.",
        footprint ? "Say what one of the " + unit.symbol +
                        " takes up, where the supply is declared: `footprint 28 cm by 54 cm`."
                  : "Say in one unit what a room holds and what stages take of it.");
  } else {
    const std::string example = place.unit.dimension == units::area
                                    ? "space 60 plants per m2"
                                    : "space ceil(plants / 72) " + place.unit.symbol;
    diagnostics.warning("no-space", first.stage->room_span,
                        who + (one ? " does" : " do") + " not say how much is taken of " + holds +
                            ", so the load of the room leaves " + (one ? "it" : "them") + " out.",
                        "Add a line such as `" + example + "`.");
  }
}

void check_units(const Plan& plan, text::Diagnostics& diagnostics) {
  const RoomPlaces places(plan);
  for (std::size_t i = 0; i < plan.sheets.size(); ++i) {
    const language::Protocol& protocol = plan.sheets[i].layout().protocol;
    // By room, then by whether the stage says its space.
    std::map<std::pair<std::uint32_t, bool>, std::vector<Uncounted>> uncounted;
    for (const Standing& standing : places.standings(i)) {
      if (standing.amount != sheet::no_cell) continue;
      const language::Stage& stage = protocol.stages[standing.stage];
      const bool says = !stage.space.empty();
      const language::Space* space =
          says ? &stage.space[language::space_on(stage, standing.from + 1)] : nullptr;
      uncounted[{standing.room, says}].push_back({&stage, space});
    }
    for (const auto& [key, stages] : uncounted) {
      report_uncounted(places.rooms()[key.first], protocol, stages, diagnostics);
    }
  }
}

}  // namespace

namespace {

void check_rooms_and_crews(const std::vector<const language::Protocol*>& protocols,
                           const book::Site& site, text::Diagnostics& diagnostics) {
  AllAsked rooms;
  AllAsked crews;
  for (const language::Protocol* protocol : protocols) {
    for (const language::Stage& stage : protocol->stages) {
      ask(rooms, stage.room, *protocol, stage.room_span);
      for (const language::Work& work : stage.works) {
        ask(crews, work.crew, *protocol, work.crew_span);
      }
    }
    for (const language::Recipe& recipe : protocol->recipes) {
      ask(crews, recipe.crew, *protocol, recipe.crew_span);
    }
  }
  report_missing(rooms, site.rooms, "room", "missing-room", site, diagnostics);
  report_missing(crews, site.crews, "crew", "missing-crew", site, diagnostics);
}

}  // namespace

void check_places(const Plan& plan, text::Diagnostics& diagnostics) {
  check_rooms_and_crews(protocols_in_use(plan), plan.book->site, diagnostics);
  check_units(plan, diagnostics);
  check_water(protocols_in_use(plan), plan.book->site, diagnostics);
}

std::vector<const language::Protocol*> protocols_in_use(const Plan& plan) {
  std::vector<const language::Protocol*> protocols;
  for (const sheet::Sheet& sheet : plan.sheets) protocols.push_back(&sheet.layout().protocol);
  return protocols;
}

void check_provisions(const std::vector<const language::Protocol*>& protocols,
                      const book::Site& site, text::Diagnostics& diagnostics) {
  check_rooms_and_crews(protocols, site, diagnostics);
  const std::string who = "The site \"" + site.name.value + "\"";
  std::set<std::string> told;
  for (const language::Protocol* protocol : protocols) {
    for (const language::Supply& supply : protocol->supplies) {
      // What is made here is neither bought nor kept.
      const bool made = std::any_of(
          protocol->recipes.begin(), protocol->recipes.end(),
          [&](const auto& one) { return protocol->supplies[one.supply].name == supply.name; });
      if (made || site.supplies.contains(supply.name) || !told.insert(supply.name).second) continue;
      diagnostics.note("missing-supply", supply.span,
                       who + " says nothing of `" + supply.name + "`: no stock, no price.",
                       "Add a line to `supplies:` in site.yaml.");
    }
    for (const language::Stage& stage : protocol->stages) {
      const auto room = site.rooms.find(stage.room);
      const bool dry = room != site.rooms.end() && !room->second.mist_flow;
      if (dry && !stage.mists.empty() && told.insert("mist in " + stage.room).second) {
        diagnostics.note("no-mist-flow", stage.room_span,
                         who + " does not say what the nozzles of `" + stage.room +
                             "` let through, so no order tells litres.",
                         "Add `mist_flow: 1 L/min` to the room in site.yaml, with its own figure.");
      }
      if (language::follows_site(stage) && !site.climate && told.insert("climate").second) {
        diagnostics.warning("no-climate", stage.length_span,
                            who + " gives no temperatures, which `" + stage.name + "` follows.",
                            "Add `climate:` to site.yaml.");
      }
    }
  }
}

}  // namespace budwood::plan
