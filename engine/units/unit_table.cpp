#include "units/unit_table.hpp"

#include <functional>
#include <unordered_map>
#include <utility>

namespace budwood::units {

namespace {

/// A unit with its other spellings. The first is what is printed.
struct Row {
  std::string_view symbol;
  std::vector<std::string_view> aliases;
  Dimension dimension;
  double factor = 1;
};

constexpr double foot = 0.3048;               // m, exact
constexpr double pound = 0.45359237;          // kg, exact
constexpr double gallon = 3.785411784e-3;     // m3, exact: 231 cubic inches
constexpr double standard_gravity = 9.80665;  // m/s2, exact

/// Factors after NIST Special Publication 811 (2008), Appendix B.8; the US gallon and its parts are
/// the liquid ones, t is the tonne, oz is weight and fl_oz is volume.
const std::vector<Row>& scaled_units() {
  static const std::vector<Row> rows = {
      {"s", {"second", "seconds"}, time, 1},
      {"min", {"minute", "minutes"}, time, 60},
      {"h", {"hour", "hours"}, time, 3600},
      {"days", {"day", "d"}, time, seconds_a_day},
      {"weeks", {"week"}, time, 7 * seconds_a_day},

      {"m", {}, length, 1},
      {"mm", {}, length, 1e-3},
      {"cm", {}, length, 1e-2},
      {"km", {}, length, 1e3},
      {"um", {}, length, 1e-6},
      {"in", {"inch", "inches"}, length, foot / 12},
      {"ft", {"foot", "feet"}, length, foot},
      {"yd", {"yard", "yards"}, length, 3 * foot},
      {"ha", {}, area, 1e4},

      {"L", {"l"}, volume, 1e-3},
      {"mL", {"ml"}, volume, 1e-6},
      {"uL", {"ul"}, volume, 1e-9},
      {"gal", {"gallon", "gallons"}, volume, gallon},
      {"quart", {"quarts"}, volume, gallon / 4},
      {"pint", {"pints"}, volume, gallon / 8},
      {"fl_oz", {}, volume, gallon / 128},

      {"kg", {}, mass, 1},
      {"g", {}, mass, 1e-3},
      {"mg", {}, mass, 1e-6},
      {"ug", {}, mass, 1e-9},
      {"t", {}, mass, 1e3},
      {"lb", {"lbs"}, mass, pound},
      {"oz", {}, mass, pound / 16},

      {"K_difference", {}, temperature, 1},
      {"degC_difference", {}, temperature, 1},
      {"degF_difference", {}, temperature, 5.0 / 9.0},
      {"degree_days", {"degree_day"}, temperature * time, seconds_a_day},
      {"degree_hours", {"degree_hour"}, temperature * time, 3600},

      {"mol", {}, substance, 1},
      {"mmol", {}, substance, 1e-3},
      {"umol", {}, substance, 1e-6},
      {"lux", {"lx"}, illuminance, 1},
      {"klx", {"klux"}, illuminance, 1e3},
      {"fc", {"footcandle", "footcandles"}, illuminance, 1 / (foot * foot)},

      {"%", {"percent"}, number, 1e-2},
      {"ppm", {}, number, 1e-6},

      {"Pa", {}, pressure, 1},
      {"hPa", {}, pressure, 1e2},
      {"kPa", {}, pressure, 1e3},
      {"mbar", {}, pressure, 1e2},
      {"bar", {}, pressure, 1e5},
      {"psi", {}, pressure, pound * standard_gravity * 144 / (foot * foot)},
      {"W", {}, energy / time, 1},
      {"kW", {}, energy / time, 1e3},
      {"J", {}, energy, 1},
      {"kJ", {}, energy, 1e3},
      {"MJ", {}, energy, 1e6},
      {"kWh", {}, energy, 3.6e6},
      {"ampere", {}, Dimension::of(Base::current), 1},
      {"S", {}, conductivity * length, 1},
      {"mS", {}, conductivity * length, 1e-3},
      {"uS", {}, conductivity * length, 1e-6},
      {"dS", {}, conductivity * length, 1e-1},
      {"cfm", {}, volume / time, foot * foot * foot / 60},
  };
  return rows;
}

/// ISO 4217 codes. A book uses one currency, so all of them have the factor 1.
const std::vector<std::string_view>& currencies() {
  static const std::vector<std::string_view> codes = {
      "EUR", "USD", "GBP", "AUD", "BRL", "CAD", "CHF", "CLP", "CNY", "COP", "CZK", "DKK",
      "HUF", "IDR", "ILS", "INR", "JPY", "KES", "KRW", "MAD", "MXN", "NGN", "NOK", "NZD",
      "PEN", "PHP", "PLN", "RON", "SEK", "THB", "TRY", "TZS", "UAH", "UGX", "VND", "ZAR"};
  return codes;
}

/// What growers count: singular, plural.
const std::vector<std::pair<std::string_view, std::string_view>>& nouns() {
  static const std::vector<std::pair<std::string_view, std::string_view>> words = {
      {"plant", "plants"},       {"seed", "seeds"},
      {"seedling", "seedlings"}, {"cutting", "cuttings"},
      {"stick", "sticks"},       {"scion", "scions"},
      {"stock", "stocks"},       {"rootstock", "rootstocks"},
      {"graft", "grafts"},       {"bud", "buds"},
      {"node", "nodes"},         {"leaf", "leaves"},
      {"shoot", "shoots"},       {"root", "roots"},
      {"runner", "runners"},     {"slip", "slips"},
      {"offset", "offsets"},     {"division", "divisions"},
      {"bulb", "bulbs"},         {"corm", "corms"},
      {"tuber", "tubers"},       {"plug", "plugs"},
      {"liner", "liners"},       {"explant", "explants"},
      {"tree", "trees"},         {"tray", "trays"},
      {"flat", "flats"},         {"pot", "pots"},
      {"cell", "cells"},         {"block", "blocks"},
      {"cube", "cubes"},         {"slab", "slabs"},
      {"pellet", "pellets"},     {"crate", "crates"},
      {"box", "boxes"},          {"bag", "bags"},
      {"sack", "sacks"},         {"pack", "packs"},
      {"packet", "packets"},     {"bundle", "bundles"},
      {"bale", "bales"},         {"bottle", "bottles"},
      {"bucket", "buckets"},     {"vessel", "vessels"},
      {"jar", "jars"},           {"tube", "tubes"},
      {"plate", "plates"},       {"dish", "dishes"},
      {"tub", "tubs"},           {"clip", "clips"},
      {"label", "labels"},       {"tie", "ties"},
      {"band", "bands"},         {"stake", "stakes"},
      {"cane", "canes"},         {"dome", "domes"},
      {"cover", "covers"},       {"roll", "rolls"},
      {"sheet", "sheets"},       {"blade", "blades"},
      {"knife", "knives"},       {"glove", "gloves"},
      {"pair", "pairs"},         {"filter", "filters"},
      {"tablet", "tablets"},     {"piece", "pieces"},
      {"set", "sets"},           {"trolley", "trolleys"},
      {"rack", "racks"},         {"shelf", "shelves"},
      {"bench", "benches"},      {"bed", "beds"},
      {"table", "tables"},       {"lamp", "lamps"},
      {"person", "people"},
  };
  return words;
}

struct Table {
  std::vector<Unit> units;
  std::vector<std::string> names;
  std::unordered_map<std::string_view, std::size_t> unit_of;  // keys live in `names`
  std::unordered_map<std::string, std::string> singular_of;   // by plural

  Table();
  void add(Unit unit, const std::vector<std::string_view>& aliases);
};

void Table::add(Unit unit, const std::vector<std::string_view>& aliases) {
  const auto name = [this](std::string_view text) {
    names.emplace_back(text);
    unit_of.emplace(names.back(), units.size());
  };
  name(unit.symbol);
  for (std::string_view alias : aliases) name(alias);
  units.push_back(std::move(unit));
}

Table::Table() {
  names.reserve(1000);  // names must not move: unit_of refers to them
  for (const Row& row : scaled_units()) {
    add({std::string(row.symbol), row.dimension, row.factor, 0, false, {}}, row.aliases);
  }
  add({"degC", temperature, 1, 273.15, true, {}}, {});
  add({"degF", temperature, 5.0 / 9.0, 459.67 * 5.0 / 9.0, true, {}}, {});
  add({"K", temperature, 1, 0, true, {}}, {});
  add({"money", money, 1, 0, false, {}}, {});
  for (std::string_view code : currencies()) add({std::string(code), money, 1, 0, false, {}}, {});
  for (const auto& [one, many] : nouns()) {
    add({std::string(many), count, 1, 0, false, std::string(many)}, {one});
    singular_of.emplace(many, one);
  }
  for (std::string_view one : {"day", "week", "degree_day", "degree_hour"}) {
    singular_of.emplace(std::string(one) + "s", one);
  }
}

const Table& table() {
  static const Table the_table;
  return the_table;
}

bool ends_with_any(std::string_view word, const std::vector<std::string_view>& endings) {
  for (std::string_view ending : endings) {
    if (word.size() > ending.size() && word.ends_with(ending)) return true;
  }
  return false;
}

}  // namespace

const Unit* named_unit(std::string_view name) {
  const auto found = table().unit_of.find(name);
  return found == table().unit_of.end() ? nullptr : &table().units[found->second];
}

const std::vector<std::string>& table_names() {
  return table().names;
}

std::string singular(std::string_view symbol) {
  const auto found = table().singular_of.find(std::string(symbol));
  return found == table().singular_of.end() ? std::string(symbol) : found->second;
}

std::string singular_noun(std::string_view noun) {
  if (std::string known = singular(noun); known != noun) return known;
  std::string one(noun);
  if (ends_with_any(noun, {"ss", "us", "is"})) return one;
  if (noun.size() > 4 && noun.ends_with("ies")) {
    one.replace(one.size() - 3, 3, "y");
  } else if (ends_with_any(noun, {"xes", "ches", "shes", "sses"})) {
    one.resize(one.size() - 2);
  } else if (noun.size() > 2 && noun.ends_with("s")) {
    one.pop_back();
  }
  return one;
}

}  // namespace budwood::units
