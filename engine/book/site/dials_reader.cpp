#include "book/site/dials_reader.hpp"

#include <algorithm>
#include <cmath>

#include "book/site/site.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

using language::MeasureFacts;

constexpr std::size_t most_marks = 200;
constexpr std::size_t longest_zone = 64;

/// What a dial is for: its unit, and how large its values can be.
struct DialKind {
  std::string key;
  units::Unit unit;
  double most = 0;  ///< base units; of a temperature a difference
  std::string example;
};

Wanted wanted_of(const DialKind& kind) {
  return {kind.key, "a step, or a list of what can be set", kind.example};
}

/// "10, 15, 20 min" on one line is a list as well.
std::vector<Node> pieces_of(const Node& node) {
  if (node.kind == Node::Kind::list) return node.items;
  std::vector<Node> out;
  std::size_t begin = 0;
  while (begin <= node.value.size()) {
    const std::size_t end = std::min(node.value.find(',', begin), node.value.size());
    Node piece = node;
    const std::size_t first = node.value.find_first_not_of(' ', begin);
    piece.value = first < end ? node.value.substr(first, end - first) : "";
    piece.value.erase(piece.value.find_last_not_of(' ') + 1);
    out.push_back(std::move(piece));
    begin = end + 1;
  }
  return out;
}

/// Numbers of which the last one names the unit of those that have none. Nothing, and nothing said,
/// when they are none.
std::optional<std::vector<units::Parsed>> quantities_of(const std::vector<Node>& pieces) {
  std::vector<units::Parsed> out;
  for (const Node& piece : pieces) {
    const auto parsed =
        piece.kind == Node::Kind::scalar ? units::parse_quantity(piece.value) : std::nullopt;
    if (!parsed) return std::nullopt;
    out.push_back(*parsed);
  }
  if (out.empty() || !out.back().has_unit) return std::nullopt;
  for (units::Parsed& one : out) {
    if (!one.has_unit) one.unit = out.back().unit;
    one.has_unit = true;
  }
  return out;
}

bool fits(const units::Parsed& value, const DialKind& kind) {
  return value.unit.dimension == kind.unit.dimension && value.value > 0 &&
         value.value * value.unit.factor <= kind.most;
}

/// One value is a step, several are all that there is.
std::optional<Dial> dial_of(const Node& node, const std::vector<units::Parsed>& values,
                            const DialKind& kind, text::Diagnostics& diagnostics) {
  const bool all_fit = std::all_of(values.begin(), values.end(),
                                   [&](const units::Parsed& one) { return fits(one, kind); });
  if (!all_fit || values.size() > most_marks) {
    report_wanted(node, wanted_of(kind), diagnostics);
    return std::nullopt;
  }
  Dial dial;
  dial.unit = values.back().unit;
  dial.span = node.span;
  if (values.size() == 1) {
    dial.step = values.front().value;
    return dial;
  }
  for (const units::Parsed& one : values) {
    dial.values.push_back(one.value * one.unit.factor / dial.unit.factor);
  }
  std::sort(dial.values.begin(), dial.values.end());
  dial.values.erase(std::unique(dial.values.begin(), dial.values.end()), dial.values.end());
  return dial;
}

std::optional<Dial> read_dial(const Node& node, const DialKind& kind,
                              text::Diagnostics& diagnostics) {
  const auto values = node.kind == Node::Kind::map ? std::nullopt : quantities_of(pieces_of(node));
  if (values) return dial_of(node, *values, kind, diagnostics);
  report_wanted(node, wanted_of(kind), diagnostics);
  return std::nullopt;
}

DialKind mist_time(const char* example) {
  return {"mist", *units::find_unit("s"), units::seconds_a_day, example};
}

/// `[10 s, 5 min]` are the steps of the pulse and of the interval, each with a unit of its own;
/// the second may be a list. Anything else is about the interval alone.
void read_mist(const Node& node, Dials& dials, text::Diagnostics& diagnostics) {
  const bool pair = node.kind == Node::Kind::list && node.items.size() == 2;
  const bool both = pair && (node.items[1].kind == Node::Kind::list ||
                             quantities_of({node.items[0]}).has_value());
  if (!both) {
    dials.interval = read_dial(node, mist_time("[10 s, 5 min]"), diagnostics);
    return;
  }
  dials.pulse = read_dial(node.items[0], mist_time("10 s"), diagnostics);
  dials.interval = read_dial(node.items[1], mist_time("5 min"), diagnostics);
}

/// What follows `lights up to`, mol/m2/s.
std::optional<double> light_of(const std::string& text) {
  const auto light = units::parse_quantity(text);
  const MeasureFacts& facts = language::facts_of(language::Measure::light);
  if (!light || light->unit.dimension != facts.type.dimension) return std::nullopt;
  const double value = light->base();
  return value > 0 && value <= facts.highest ? std::optional(value) : std::nullopt;
}

bool add_ability(const std::string& text, Abilities& can) {
  const std::string lights = "lights up to ";
  if (text == "heats") return can.heats = true;
  if (text == "cools") return can.cools = true;
  if (text == "mists") return can.mists = true;
  if (text == "bottom heat") return can.bottom_heat = true;
  if (text == "darkens") return can.darkens = true;
  if (!text.starts_with(lights)) return false;
  can.light = light_of(text.substr(lights.size())).value_or(0);
  return can.light > 0;
}

}  // namespace

Dials read_dials(const Node& node, text::Diagnostics& diagnostics) {
  Dials dials;
  const Fields fields(node, KeyMap::steps, diagnostics);
  if (!fields.usable()) return dials;
  if (const Node* mist = fields.get("mist")) read_mist(*mist, dials, diagnostics);
  for (const MeasureFacts& facts : language::measures()) {
    const Node* value = facts.settable ? fields.get(facts.name) : nullptr;
    if (value == nullptr) continue;
    const DialKind kind{facts.name, *units::find_unit(facts.unit), facts.highest - facts.lowest,
                        difference_text(facts, facts.tolerance)};
    if (auto dial = read_dial(*value, kind, diagnostics)) {
      dials.measures.emplace(facts.measure, std::move(*dial));
    }
  }
  return dials;
}

std::optional<Abilities> read_abilities(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{
      "can",
      "`none`, or some of `heats`, `cools`, `mists`, `bottom heat`, `darkens`, `lights up to ...`",
      "[heats, lights up to 150 umol/m2/s]"};
  Abilities can;
  can.span = node.span;
  if (node.kind == Node::Kind::scalar && node.value == "none") return can;
  if (node.kind != Node::Kind::list) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  bool right = true;
  for (const Node& item : node.items) {
    if (item.kind == Node::Kind::scalar && add_ability(item.value, can)) continue;
    report_wanted(item, wanted, diagnostics);
    right = false;
  }
  return right ? std::optional(can) : std::nullopt;
}

bool Timers::has(const std::string& setting) const {
  return all || std::find(settings.begin(), settings.end(), setting) != settings.end();
}

Timers read_timers(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"by_timer", "`all`, or a list of settings", "[mist, light]"};
  Timers out;
  if (node.kind == Node::Kind::scalar && node.value == "all") {
    out.all = true;
    return out;
  }
  if (node.kind != Node::Kind::list) {
    report_wanted(node, wanted, diagnostics);
    return out;
  }
  const std::vector<std::string>& known = keys_of(KeyMap::steps).names;
  for (const Node& item : node.items) {
    const bool is_known = item.kind == Node::Kind::scalar &&
                          std::find(known.begin(), known.end(), item.value) != known.end();
    if (is_known) {
      out.settings.push_back(item.value);
    } else {
      diagnostics.error("wrong-value", item.span, "`by_timer` wants settings, and this is none.",
                        "The settings are " + text::list_words(known) + ".");
    }
  }
  return out;
}

std::vector<std::string> read_zone_names(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"zones", "a whole number, or a name for each", "[left, right]"};
  std::vector<std::string> out;
  for (const Node& item : node.items) {
    const auto name = read_line(item, wanted, longest_zone, diagnostics);
    if (!name || !check_own_name(name->value, item.span, diagnostics)) continue;
    if (std::find(out.begin(), out.end(), name->value) == out.end()) {
      out.push_back(name->value);
    } else {
      diagnostics.error("repeated-value", item.span, "This zone stands here twice.",
                        "Remove one of them.");
    }
  }
  if (node.items.empty() || out.size() > most_zones) report_wanted(node, wanted, diagnostics);
  return out;
}

}  // namespace budwood::book
