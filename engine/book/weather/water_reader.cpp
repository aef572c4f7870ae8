#include "book/weather/water_reader.hpp"

#include <algorithm>

#include "book/site/site.hpp"
#include "book/yaml/values.hpp"
#include "language/check/hazard.hpp"

namespace budwood::book {

namespace {

/// What is read of water, its unit and how large it can be, base units.
struct WaterValue {
  const char* key;
  const char* what;
  const char* example;
  const char* unit;
  double most;
};

std::optional<Placed<double>> read_value(const Fields& fields, const WaterValue& wanted,
                                         text::Diagnostics& diagnostics) {
  const Node* node = fields.get(wanted.key);
  if (node == nullptr) return std::nullopt;
  const Wanted words{wanted.key, wanted.what, wanted.example};
  const auto written = read_quantity(*node, words, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  const units::Unit unit = *units::find_unit(wanted.unit);
  double value = written->quantity.base();
  constexpr double water = 1000;  // kg/m3
  const bool parts =
      unit.dimension == units::mass / units::volume && written->quantity.unit.symbol == "ppm";
  if (parts) {
    value *= water;
  } else if (written->quantity.unit.dimension != unit.dimension || !written->quantity.has_unit) {
    report_wanted(*node, words, diagnostics);
    return std::nullopt;
  }
  if (value >= 0 && value <= wanted.most) return Placed<double>{value, node->span};
  diagnostics.error("out-of-range", node->span,
                    "`" + std::string(wanted.key) + "` of water can be from 0 to " +
                        units::format(wanted.most, unit) + ".");
  return std::nullopt;
}

std::optional<Placed<double>> read_ph(const Node& node, text::Diagnostics& diagnostics) {
  const auto written =
      read_quantity(node, {"ph", "a number", "7.4"}, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  const double value = written->quantity.value;
  if (!written->quantity.has_unit && value >= 3 && value <= 11) {
    return Placed<double>{value, node.span};
  }
  diagnostics.error("out-of-range", node.span, "The pH of water is a number from 3 to 11.");
  return std::nullopt;
}

std::optional<Acid> read_acid(const Node& node, text::Diagnostics& diagnostics) {
  std::vector<std::string> names;
  for (const Acid& one : acids()) {
    if (node.kind == Node::Kind::scalar && node.value == one.name) return one;
    names.push_back("`" + one.name + "`");
  }
  diagnostics.error("wrong-value", node.span, "`acid` wants one that is known with its strength.",
                    "There are " + text::list_words(names) + ".");
  return std::nullopt;
}

/// The acid of the site as a supply of a protocol. What a protocol calls acid may be another one,
/// or of another strength: a dose is never given of that.
language::SupplyId acid_of(const Acid& acid, language::Protocol& protocol) {
  const std::string title = "Acid, " + acid.name;
  std::string name = "acid";
  for (language::SupplyId known; (known = protocol.supplies.find(name)).known();) {
    const language::Supply& one = protocol.supplies[known];
    if (one.title == title && one.unit.dimension == units::volume) return known;
    name = "site_" + name;
  }
  language::Supply supply;
  supply.name = name;
  supply.title = title;
  supply.unit = supply.plain_unit = *units::find_unit("mL");
  supply.hazards = {"corrosive"};
  protocol.supplies.push_back(std::move(supply));
  return language::SupplyId(protocol.supplies.size() - 1);
}

void add_acid(const Water& water, language::Protocol& protocol, std::size_t place) {
  if (!protocol.recipes[place].is_feed()) return;
  const double ph = protocol.recipes[place].ph;
  const auto share = ph > 0 ? water.acid_for(ph) : std::nullopt;
  if (!share || !(*share > 0)) return;
  const language::SupplyId supply = acid_of(*water.acid, protocol);
  language::Recipe& recipe = protocol.recipes[place];
  const bool own = std::any_of(recipe.of.begin(), recipe.of.end(),
                               [&](const auto& one) { return one.supply == supply; });
  if (own) return;
  recipe.of.push_back({supply, recipe.makes * *share, water.span});
  language::add_usual_cautions({"corrosive"}, recipe.cautions);
  recipe.cautions.emplace_back(
      "Acid into the water, never water into acid; never beside chlorine.");
}

}  // namespace

Water read_water(const Node& node, text::Diagnostics& diagnostics) {
  constexpr double most_ec = 1;    // S/m, 10 mS/cm
  constexpr double most_lime = 2;  // kg/m3
  Water out;
  out.span = node.span;
  const Fields fields(node, KeyMap::water, diagnostics);
  if (!fields.usable()) return out;
  out.ec =
      read_value(fields, {"ec", "a conductivity", "0.45 mS/cm", "mS/cm", most_ec}, diagnostics);
  out.alkalinity = read_value(
      fields, {"alkalinity", "an amount of CaCO3 in water", "210 mg/L", "mg/L", most_lime},
      diagnostics);
  out.hardness =
      read_value(fields, {"hardness", "an amount of CaCO3 in water", "240 mg/L", "mg/L", most_lime},
                 diagnostics);
  if (const Node* one = fields.get("ph")) out.ph = read_ph(*one, diagnostics);
  if (const Node* one = fields.get("acid")) out.acid = read_acid(*one, diagnostics);
  return out;
}

void use_site_water(const Site& site, language::Document& library) {
  if (!site.water) return;
  for (language::Protocol& protocol : library.protocols) {
    for (std::size_t i = 0; i < protocol.recipes.size(); ++i) {
      language::Recipe& recipe = protocol.recipes[i];
      const double raw = site.water->ec ? site.water->ec->value : 0;
      // Salts are weighed; water and what is measured into it stay.
      for (language::Recipe::Ingredient& one : recipe.of) {
        const bool weighed = protocol.supplies[one.supply].unit.dimension == units::mass;
        if (recipe.is_feed() && weighed) one.amount *= std::max(0.0, 1 - raw / recipe.ec);
      }
      add_acid(*site.water, protocol, i);
    }
  }
}

}  // namespace budwood::book
