#include "book/yaml/single_values.hpp"

#include "book/limits.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"
#include "units/units.hpp"

namespace budwood::book {

Node scalar_of(const SingleValue& value) {
  Node node;
  node.kind = Node::Kind::scalar;
  node.span = value.span;
  node.value = value.text;
  return node;
}

std::optional<Placed<std::int64_t>> read_plants(const Node& node, text::Diagnostics& diagnostics) {
  return read_whole(node, {"plants", "a whole number", "600"}, 1, most_plants, "plants",
                    diagnostics);
}

std::optional<Placed<double>> read_sure(const Node& node, text::Diagnostics& diagnostics) {
  return read_share(node, {"sure", "a share between 0 and 100 %", "90 %"}, ShareRange::above_zero,
                    diagnostics);
}

std::optional<Placed<double>> read_spare(const Node& node, text::Diagnostics& diagnostics) {
  return read_share(node, {"spare", "a share under 100 %", "3 %"}, ShareRange::from_zero,
                    diagnostics);
}

std::optional<Placed<double>> read_lets_in(const Node& node, text::Diagnostics& diagnostics) {
  return read_share(node, {"lets_in", "a share of daylight, 0 to 100 %", "62 %"}, ShareRange::any,
                    diagnostics);
}

std::optional<Placed<double>> read_lets_in(const SingleValue& value,
                                           text::Diagnostics& diagnostics) {
  return read_lets_in(scalar_of(value), diagnostics);
}

std::optional<Placed<double>> read_lights(const SingleValue& value,
                                          text::Diagnostics& diagnostics) {
  const Node node = scalar_of(value);
  const Wanted wanted{"lights", "a light", "150 umol/m2/s"};
  const auto written = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  const language::MeasureFacts& facts = language::facts_of(language::Measure::light);
  const double light = written->quantity.base();
  if (written->quantity.unit.dimension == facts.type.dimension && light >= 0 &&
      light <= facts.highest) {
    return Placed<double>{light, node.span};
  }
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

std::optional<Placed<bool>> read_yes(std::string_view key, const Node& node,
                                     text::Diagnostics& diagnostics) {
  const bool scalar = node.kind == Node::Kind::scalar;
  if (scalar && (node.value == "yes" || node.value == "no")) {
    return Placed<bool>{node.value == "yes", node.span};
  }
  report_wanted(node, {key, "`yes` or `no`", "yes"}, diagnostics);
  return std::nullopt;
}

std::optional<Placed<calendar::Day>> read_date(std::string_view key, const Node& node,
                                               text::Diagnostics& diagnostics) {
  return read_day(node, {key, "a date", key == "ready" ? "2027-05-10" : "2027-02-01"}, diagnostics);
}

std::optional<Placed<std::int64_t>> read_count(std::string_view key, const Node& node,
                                               text::Diagnostics& diagnostics) {
  return read_whole(node, {key, "a whole number", "380"}, 0, most_plants, "plants", diagnostics);
}

std::optional<Placed<std::int64_t>> read_people(const Node& node, text::Diagnostics& diagnostics) {
  return read_whole(node, {"people", "a whole number", "3"}, 1, most_people, "people", diagnostics);
}

std::optional<Placed<double>> read_hours(const Node& node, text::Diagnostics& diagnostics) {
  const auto hours =
      read_time(node, {"hours", "a length of time", "6 h"}, units::seconds_a_day, diagnostics);
  if (!hours || hours->value > 0) return hours;
  diagnostics.error("out-of-range", hours->span, "`hours` has to be more than 0.");
  return std::nullopt;
}

std::optional<Closed> read_closed(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"closed", "a date", "2027-01-01"};
  if (node.kind != Node::Kind::scalar) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  const std::string_view value = node.value;
  const std::size_t to = value.find(" to ");
  const auto first = parse_day(value.substr(0, to), node.span, wanted, diagnostics);
  if (!first) return std::nullopt;
  if (to == std::string_view::npos) return Closed{*first, *first, node.span};
  const auto last = parse_day(value.substr(to + 4), node.span, wanted, diagnostics);
  if (!last) return std::nullopt;
  if (*last < *first) {
    diagnostics.error("out-of-range", node.span, "These closed days end before they begin.",
                      "Write the earlier date first.");
    return std::nullopt;
  }
  return Closed{*first, *last, node.span};
}

std::optional<Written> read_input(const std::string& name, const SingleValue& value,
                                  text::Diagnostics& diagnostics) {
  return read_input(name, scalar_of(value), diagnostics);
}
std::optional<Placed<std::int64_t>> read_plants(const SingleValue& value,
                                                text::Diagnostics& diagnostics) {
  return read_plants(scalar_of(value), diagnostics);
}
std::optional<Placed<double>> read_sure(const SingleValue& value, text::Diagnostics& diagnostics) {
  return read_sure(scalar_of(value), diagnostics);
}
std::optional<Placed<double>> read_spare(const SingleValue& value, text::Diagnostics& diagnostics) {
  return read_spare(scalar_of(value), diagnostics);
}
std::optional<Placed<bool>> read_full_trays(const SingleValue& value,
                                            text::Diagnostics& diagnostics) {
  return read_yes("full_trays", scalar_of(value), diagnostics);
}
std::optional<Placed<std::int64_t>> read_people(const SingleValue& value,
                                                text::Diagnostics& diagnostics) {
  return read_people(scalar_of(value), diagnostics);
}
std::optional<Placed<double>> read_hours(const SingleValue& value, text::Diagnostics& diagnostics) {
  return read_hours(scalar_of(value), diagnostics);
}
std::optional<Closed> read_closed(const SingleValue& value, text::Diagnostics& diagnostics) {
  return read_closed(scalar_of(value), diagnostics);
}
std::optional<Placed<calendar::Day>> read_date(std::string_view key, const SingleValue& value,
                                               text::Diagnostics& diagnostics) {
  return read_date(key, scalar_of(value), diagnostics);
}
std::optional<Placed<std::int64_t>> read_count(std::string_view key, const SingleValue& value,
                                               text::Diagnostics& diagnostics) {
  return read_count(key, scalar_of(value), diagnostics);
}

}  // namespace budwood::book
