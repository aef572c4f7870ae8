#include "book/site/resources_reader.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "book/rounds/scouting_reader.hpp"
#include "book/site/crew_reader.hpp"
#include "book/site/dials_reader.hpp"
#include "book/site/energy_reader.hpp"
#include "book/site/money_reader.hpp"
#include "book/site/tolerance_reader.hpp"
#include "book/stock/buying_reader.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"
#include "units/units.hpp"

namespace budwood::book {

namespace {

constexpr double longest_test = 10 * 365 * units::seconds_a_day;

const Wanted holds_wanted{"holds", "a number and a unit, or `no limit`", "30 crates"};
const Wanted vessels_wanted{"holds", "so many benches, shelves or carts of so much",
                            "6 benches of 12 m2"};

/// A number of something, more than none.
std::optional<Written> read_held(const Node& node, const Wanted& wanted,
                                 text::Diagnostics& diagnostics) {
  auto holds = read_quantity(node, wanted, UnitWords::counted_too, diagnostics);
  if (!holds) return std::nullopt;
  if (!holds->quantity.has_unit) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  if (holds->quantity.value > 0) return holds;
  diagnostics.error("out-of-range", node.span, "`holds` has to be more than 0.",
                    "Write `holds: no limit` if there is none.");
  return std::nullopt;
}

/// "30 crates", "6 benches of 12 m2", "no limit".
void read_holds(const Node& node, Room& room, text::Diagnostics& diagnostics) {
  constexpr std::string_view between = " of ";
  if (node.kind == Node::Kind::scalar && node.value == "no limit") {
    room.unlimited = true;
    return;
  }
  const std::size_t of =
      node.kind == Node::Kind::scalar ? node.value.find(between) : std::string::npos;
  if (of == std::string::npos) {
    const bool times =
        node.kind == Node::Kind::scalar && node.value.find(" x ") != std::string::npos;
    if (times) return report_wanted(node, vessels_wanted, diagnostics);
    room.holds = read_held(node, holds_wanted, diagnostics);
    return;
  }
  Node side = node;
  side.value = node.value.substr(0, of);
  const auto count = read_held(side, vessels_wanted, diagnostics);
  side.value = node.value.substr(of + between.size());
  auto each = count ? read_held(side, vessels_wanted, diagnostics) : std::nullopt;
  if (!each) return;
  if (count->quantity.unit.noun.empty()) {
    diagnostics.error("wrong-value", node.span,
                      "Benches, shelves or carts are counted, but `" + count->text + "` is not.",
                      "Such as: holds: 6 benches of 12 m2");
    return;
  }
  room.vessels = Room::Vessels{count->quantity.value, count->quantity.unit.noun};
  room.holds = std::move(each);
  room.holds->quantity.value *= count->quantity.value;
  room.holds->text = node.value;
}

/// What one takes up: "28 cm by 54 cm", or "0.15 m2".
std::optional<Placed<double>> read_footprint(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"footprint", "a length by a width, or an area", "28 cm by 54 cm"};
  constexpr std::string_view between = " by ";
  const std::size_t by =
      node.kind == Node::Kind::scalar ? node.value.find(between) : std::string::npos;
  Node side = node;
  std::vector<std::string> sides{node.value};
  if (by != std::string::npos) {
    sides = {node.value.substr(0, by), node.value.substr(by + between.size())};
  }
  const units::Dimension dimension = sides.size() > 1 ? units::length : units::area;
  double area = 1;
  for (std::string& text : sides) {
    side.value = std::move(text);
    text::Diagnostics told_as_a_whole;
    const auto written = read_quantity(side, wanted, UnitWords::only_known, told_as_a_whole);
    if (!written || written->quantity.unit.dimension != dimension ||
        !(written->quantity.value > 0)) {
      report_wanted(node, wanted, diagnostics);
      return std::nullopt;
    }
    area *= written->quantity.base();
  }
  return Placed<double>{area, node.span};
}

/// Water that all nozzles of a room let through while they are open, m3/s.
std::optional<Placed<double>> read_mist_flow(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"mist_flow", "a volume for a time", "0.9 L/min"};
  const auto flow = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!flow) return std::nullopt;
  if (flow->quantity.unit.dimension != units::volume / units::time) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  if (flow->quantity.value > 0) return Placed<double>{flow->quantity.base(), node.span};
  diagnostics.error("out-of-range", node.span, "`mist_flow` has to be more than 0.",
                    "Remove the line if it is not known.");
  return std::nullopt;
}

/// Days for which a space cannot be used after a batch has left.
std::optional<int> read_turnover(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"turnover", "whole days", "2 days"};
  const auto time = read_time(node, wanted, longest_turnover * units::seconds_a_day, diagnostics);
  if (!time) return std::nullopt;
  const double days = time->value / units::seconds_a_day;
  if (days == std::floor(days)) return static_cast<int>(days);
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

/// How many climates can be set apart, or what the places are called in which they stand.
void read_zones(const Node& node, Room& room, text::Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::list) {
    room.zone_names = read_zone_names(node, diagnostics);
    room.zones = std::max<int>(1, static_cast<int>(room.zone_names.size()));
    return;
  }
  const auto zones =
      read_whole(node, {"zones", "a whole number", "2"}, 1, most_zones, "zones", diagnostics);
  if (zones) room.zones = static_cast<int>(zones->value);
}

std::optional<Room> read_room(const Entry& entry, text::Diagnostics& diagnostics) {
  const Fields fields(entry.value, KeyMap::room, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Room room;
  room.span = entry.key_span;
  if (const Node* node = fields.get("turnover")) {
    room.turnover = read_turnover(*node, diagnostics).value_or(0);
  }
  if (const Node* node = fields.get("mist_flow")) {
    room.mist_flow = read_mist_flow(*node, diagnostics);
  }
  if (const Node* node = fields.get("zones")) {
    read_zones(*node, room, diagnostics);
  }
  if (const Node* node = fields.get("stands")) room.stands = read_standing(*node, diagnostics);
  if (const Node* node = fields.get("steps")) room.dials = read_dials(*node, diagnostics);
  if (const Node* node = fields.get("can")) room.can = read_abilities(*node, diagnostics);
  if (const Node* node = fields.get("by_timer")) room.by_timer = read_timers(*node, diagnostics);
  if (const Node* node = fields.get("lets_in")) {
    room.lets_in = read_lets_in(*node, diagnostics);
  }
  if (const Node* node = fields.get("lamps")) room.lamps = read_lamps(*node, diagnostics);
  if (const Node* node = fields.get("area")) room.area = read_area(*node, diagnostics);
  if (const Node* node = fields.get("heat_loss")) {
    room.heat_loss = read_heat_loss(*node, diagnostics);
  }
  if (const Node* node = fields.get("scout")) room.scout = read_scouting(*node, diagnostics);
  if (const Node* node = fields.get("tolerance")) {
    room.tolerance = read_tolerances(*node, diagnostics);
  }
  if (const Node* node = fields.get("holds")) {
    read_holds(*node, room, diagnostics);  // what cannot be read is told; the room is there
  }
  return room;
}

/// What holds for the lots of a supply.
void read_lot_terms(const Fields& fields, SupplyFacts& facts, text::Diagnostics& diagnostics) {
  if (const Node* node = fields.get("field_factor")) {
    facts.field_factor = read_share(*node, {"field_factor", "a share, up to 100 %", "95 %"},
                                    ShareRange::above_zero_or_all, diagnostics);
  }
  if (const Node* node = fields.get("test_holds")) {
    const auto time =
        read_time(*node, {"test_holds", "a length of time", "26 weeks"}, longest_test, diagnostics);
    if (time) facts.test_holds = static_cast<int>(time->value / units::seconds_a_day);
  }
}

std::optional<SupplyFacts> read_supply(const Entry& entry, MoneyReader& money,
                                       text::Diagnostics& diagnostics) {
  const Fields fields(entry.value, KeyMap::supply, diagnostics);
  if (!fields.usable()) return std::nullopt;
  SupplyFacts facts;
  facts.span = entry.key_span;
  if (const Node* node = fields.get("on_hand")) {
    facts.on_hand = read_amount(*node, on_hand_wanted, true, diagnostics);
  }
  read_buying(fields, money, facts, diagnostics);
  if (const Node* node = fields.get("scrap")) {
    facts.scrap = read_share(*node, {"scrap", "a share under 100 %", "5 %"}, ShareRange::from_zero,
                             diagnostics);
  }
  if (const Node* node = fields.get("footprint")) {
    facts.footprint = read_footprint(*node, diagnostics);
  }
  read_lot_terms(fields, facts, diagnostics);
  return facts;
}

/// The values of one key in all entries of a map.
void collect(const Node* node, std::string_view key, std::vector<const Node*>& found) {
  if (node == nullptr) return;
  for (const Entry& entry : node->entries) {
    if (const Node* value = entry.value.find(key)) found.push_back(value);
  }
}

}  // namespace

void read_rooms(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"rooms", "a line for each room", "bench: {holds: 30 trays}"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    if (auto room = read_room(*entry, diagnostics)) site.rooms.emplace(entry->key, *room);
  }
}

void read_priced(const PricedNodes& nodes, Site& site, text::Diagnostics& diagnostics) {
  const auto [crews, supplies, energy] = nodes;
  std::vector<const Node*> prices;
  if (energy != nullptr) {
    for (const Entry& entry : energy->entries) prices.push_back(&entry.value);
  }
  collect(crews, "cost", prices);
  collect_prices(supplies, prices);
  MoneyReader money(site.currency, prices, diagnostics);
  site.currency = money.currency();
  if (energy != nullptr) site.energy = read_energy(*energy, money, diagnostics);
  const Wanted crew{"crews", "a line for each crew", "potting: {people: 2, hours: 7 h}"};
  for (const Entry* entry : own_named_entries(crews, crew, diagnostics)) {
    if (auto facts = read_crew(*entry, site.working, money, diagnostics)) {
      site.crews.emplace(entry->key, std::move(*facts));
    }
  }
  const Wanted supply{"supplies", "a line for each supply", "label: {on_hand: 120, price: 0.05}"};
  for (const Entry* entry : own_named_entries(supplies, supply, diagnostics)) {
    if (auto facts = read_supply(*entry, money, diagnostics)) {
      site.supplies.emplace(entry->key, std::move(*facts));
    }
  }
}

}  // namespace budwood::book
