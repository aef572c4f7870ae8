#include "book/site/tolerance_reader.hpp"

#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

using language::Measure;
using language::MeasureFacts;

std::optional<Placed<double>> read_difference(const Node& node, const MeasureFacts& facts,
                                              text::Diagnostics& diagnostics) {
  const std::string what = "a difference in " + facts.unit;
  const std::string example = difference_text(facts, facts.tolerance);
  const Wanted wanted{facts.name, what, example};
  const auto written = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  const units::Unit& unit = written->quantity.unit;
  if (unit.dimension != facts.type.dimension) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  // `3 degC` is a difference here, so the zero of its scale does not count.
  const double difference = written->quantity.value * unit.factor;
  const double most = facts.highest - facts.lowest;
  if (difference >= 0 && difference <= most) return Placed<double>{difference, node.span};
  const bool forgot_percent =
      facts.unit == "%" && !written->quantity.has_unit && difference > 0 && difference <= 100;
  diagnostics.error("out-of-range", node.span,
                    "`" + facts.name + "` can be from 0 to " + difference_text(facts, most) + ".",
                    forgot_percent ? "Write `" + written->text + " %`." : "");
  return std::nullopt;
}

std::optional<Placed<double>> read_setting(const Node& node, const language::MeasureFacts& facts,
                                           text::Diagnostics& diagnostics) {
  const units::Unit unit = *units::find_unit(facts.unit);
  const double usual = (facts.lowest + facts.highest) / 2;
  const std::string what = "a value in " + facts.unit;
  const std::string example = units::format(usual, unit, 2);
  const Wanted wanted{facts.name, what, example};
  const auto written = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  const units::Unit& own = written->quantity.unit;
  if (own.dimension != unit.dimension || own.absolute != unit.absolute) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  const double value = written->quantity.base();
  if (value >= facts.lowest && value <= facts.highest) return Placed<double>{value, node.span};
  diagnostics.error("out-of-range", node.span,
                    "`" + facts.name + "` can be from " + units::format(facts.lowest, unit) +
                        " to " + units::format(facts.highest, unit) + ".");
  return std::nullopt;
}

}  // namespace

std::string difference_text(const MeasureFacts& facts, double difference) {
  return units::format_number(difference / units::find_unit(facts.unit)->factor) + " " + facts.unit;
}

double Site::tolerance_in(const std::string& room, Measure measure) const {
  if (const auto found = rooms.find(room); found != rooms.end()) {
    const auto own = found->second.tolerance.find(measure);
    if (own != found->second.tolerance.end()) return own->second.value;
  }
  const auto general = tolerance.find(measure);
  return general != tolerance.end() ? general->second.value : language::facts_of(measure).tolerance;
}

std::optional<double> Site::radiation_on(calendar::Day day) const {
  return sky.radiation(latitude ? std::optional(latitude->value) : std::nullopt, day);
}

std::optional<double> Site::area_of(const std::string& room) const {
  const Room* const found = find_room(room);
  if (found == nullptr || found->area) return found == nullptr ? std::nullopt : found->area;
  const bool area = found->holds && found->holds->quantity.unit.dimension == units::area;
  return area ? std::optional(found->holds->quantity.base()) : std::nullopt;
}

const Room* Site::find_room(const std::string& room) const {
  const auto found = rooms.find(room);
  return found == rooms.end() ? nullptr : &found->second;
}

const Dial* Site::dial_in(const std::string& room, Measure measure) const {
  const Room* const own = find_room(room);
  for (const Dials* one : {own == nullptr ? nullptr : &own->dials, &dials}) {
    if (one == nullptr) continue;
    if (const auto found = one->measures.find(measure); found != one->measures.end()) {
      return &found->second;
    }
  }
  return nullptr;
}

const Dial* Site::pulse_dial_in(const std::string& room) const {
  const Room* const own = find_room(room);
  if (own != nullptr && own->dials.pulse) return &*own->dials.pulse;
  return dials.pulse ? &*dials.pulse : nullptr;
}

const Dial* Site::interval_dial_in(const std::string& room) const {
  const Room* const own = find_room(room);
  if (own != nullptr && own->dials.interval) return &*own->dials.interval;
  return dials.interval ? &*dials.interval : nullptr;
}

Tolerances read_tolerances(const Node& node, text::Diagnostics& diagnostics) {
  Tolerances out;
  const Fields fields(node, KeyMap::tolerance, diagnostics);
  if (!fields.usable()) return out;
  for (const std::string& name : keys_of(KeyMap::tolerance).names) {
    const Node* value = fields.get(name);
    if (value == nullptr) continue;
    const MeasureFacts& facts = *language::find_measure(name);
    if (const auto difference = read_difference(*value, facts, diagnostics)) {
      out.emplace(facts.measure, *difference);
    }
  }
  return out;
}

std::map<language::Measure, Placed<double>> read_standing(const Node& node,
                                                          text::Diagnostics& diagnostics) {
  std::map<language::Measure, Placed<double>> out;
  const Fields fields(node, KeyMap::standing, diagnostics);
  if (!fields.usable()) return out;
  for (const std::string& name : keys_of(KeyMap::standing).names) {
    const Node* value = fields.get(name);
    if (value == nullptr) continue;
    const language::MeasureFacts& facts = *language::find_measure(name);
    if (const auto setting = read_setting(*value, facts, diagnostics)) {
      out.emplace(facts.measure, *setting);
    }
  }
  return out;
}

}  // namespace budwood::book
