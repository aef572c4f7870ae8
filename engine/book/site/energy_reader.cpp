#include "book/site/energy_reader.hpp"

#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

constexpr double most_heat_loss = 1e7;  // W/K: some hundred hectares
constexpr double most_area = 1e7;       // m2

/// Money for a joule.
std::optional<double> read_price(const Node* node, const char* key, MoneyReader& money,
                                 text::Diagnostics& diagnostics) {
  if (node == nullptr) return std::nullopt;
  const Wanted wanted{key, "what a kWh costs", "0.24 EUR/kWh"};
  const auto price = money.read(*node, wanted);
  if (!price) return std::nullopt;
  const units::Dimension& dimension = price->quantity.unit.dimension;
  const bool plain = !price->quantity.has_unit || dimension == units::money;
  if (plain) return price->quantity.value / units::find_unit("kWh")->factor;
  const bool named = dimension == units::money / units::energy;
  if (named || dimension == units::number / units::energy) return price->quantity.base();
  report_wanted(*node, wanted, diagnostics);
  return std::nullopt;
}

/// A number with a unit of a dimension, more than 0; nothing said when it is not.
std::optional<double> value_in(const std::string& text, const units::Dimension& dimension) {
  const auto parsed = units::parse_quantity(text);
  if (!parsed || parsed->unit.dimension != dimension || !(parsed->value > 0)) return std::nullopt;
  return parsed->value * parsed->unit.factor;
}

}  // namespace

Site::Energy read_energy(const Node& node, MoneyReader& money, text::Diagnostics& diagnostics) {
  Site::Energy out;
  const Fields fields(node, KeyMap::energy, diagnostics);
  if (!fields.usable()) return out;
  out.electricity = read_price(fields.get("electricity"), "electricity", money, diagnostics);
  out.heat = read_price(fields.get("heat"), "heat", money, diagnostics);
  return out;
}

std::optional<Placed<double>> read_heat_loss(const Node& node, text::Diagnostics& diagnostics) {
  constexpr std::string_view of = " of ";
  const units::Dimension whole = units::energy / units::time / units::temperature;
  std::optional<double> loss;
  if (node.kind == Node::Kind::scalar) {
    const std::size_t at = node.value.find(of);
    if (at == std::string::npos) {
      loss = value_in(node.value, whole);
    } else {
      const auto factor = value_in(node.value.substr(0, at), whole / units::area);
      const auto area = value_in(node.value.substr(at + of.size()), units::area);
      if (factor && area) loss = *factor * *area;
    }
  }
  if (loss && *loss <= most_heat_loss) return Placed<double>{*loss, node.span};
  report_wanted(node, {"heat_loss", "a loss factor of so much cover", "4 W/m2/K of 320 m2"},
                diagnostics);
  return std::nullopt;
}

std::optional<Placed<double>> read_heat_loss(const SingleValue& value,
                                             text::Diagnostics& diagnostics) {
  return read_heat_loss(scalar_of(value), diagnostics);
}

std::optional<double> read_energy_price(const std::string& key, const SingleValue& value,
                                        const std::optional<Placed<std::string>>& currency,
                                        text::Diagnostics& diagnostics) {
  const Node node = scalar_of(value);
  MoneyReader money(currency, {&node}, diagnostics);
  return read_price(&node, key.c_str(), money, diagnostics);
}

std::optional<double> read_area(const Node& node, text::Diagnostics& diagnostics) {
  const auto area =
      node.kind == Node::Kind::scalar ? value_in(node.value, units::area) : std::nullopt;
  if (area && *area <= most_area) return area;
  report_wanted(node, {"area", "an area", "240 m2"}, diagnostics);
  return std::nullopt;
}

/// What lamps give for the energy that they take, or what they take on a square metre.
std::optional<Room::Lamps> read_lamps(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"lamps", "what lamps give for the energy, or the energy that they take",
                      "1.7 umol/J` or `48 W/m2"};
  const auto written = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  const units::Dimension& dimension = written->quantity.unit.dimension;
  const bool efficacy = dimension == units::Dimension::of(units::Base::substance) / units::energy;
  if (!efficacy && dimension != units::energy / units::time / units::area) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  const double value = written->quantity.base();
  // All energy as light of 700 nm would be 5.85 umol/J.
  constexpr double most_efficacy = 5.85e-6;
  constexpr double most_power = 5000;
  if (!(value > 0) || value > (efficacy ? most_efficacy : most_power)) {
    diagnostics.error("out-of-range", node.span, "No lamps are like that.",
                      "Good ones give 1 to 4 umol/J; 20 to 200 W/m2 hang over plants.");
    return std::nullopt;
  }
  Room::Lamps out;
  (efficacy ? out.efficacy : out.power) = value;
  out.span = node.span;
  return out;
}

}  // namespace budwood::book
