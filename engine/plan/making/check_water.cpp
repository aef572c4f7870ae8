#include "plan/making/check_water.hpp"

#include <algorithm>

#include "units/units.hpp"

namespace budwood::plan {

namespace {

// In kg/m3 of CaCO3. Above 3 meq/L, 150 mg/L, water wants acid; up to 75 mg/L it can be used as it
// is (Treating alkalinity, Production Pointers, Greenhouse Management). Nozzles and leaves get
// deposits above 150 mg/L of hardness (Will & Faust, Irrigation Water Quality for Greenhouse
// Production, University of Tennessee PB1617: 100 to 150 are desired).
constexpr double alkaline = 0.150;
constexpr double hard = 0.150;

std::string in_mg(double amount) {
  return units::format(amount, *units::find_unit("mg/L"), 3);
}
std::string in_ms(double conductivity) {
  return units::format(conductivity, *units::find_unit("mS/cm"), 3);
}

class WaterCheck {
 public:
  WaterCheck(const book::Water& water, text::Diagnostics& diagnostics)
      : water_(water), diagnostics_(diagnostics) {}

  void look_at(const language::Protocol& protocol) {
    for (const language::Recipe& recipe : protocol.recipes) {
      const std::string& name = protocol.supplies[recipe.supply].name;
      look_at_salt(recipe, name);
      look_at_alkalinity(recipe, name);
    }
    for (const language::Stage& stage : protocol.stages) look_at_mist(stage);
  }

 private:
  /// A warning that leads to the line of the water as well.
  text::Diagnostic warning(const text::Span& span, std::string message, std::string advice) const {
    text::Diagnostic d;
    d.severity = text::Severity::warning;
    d.span = span;
    d.message = std::move(message);
    d.advice = std::move(advice);
    d.related.push_back({water_.span, "the water of the site"});
    return d;
  }

  void look_at_salt(const language::Recipe& recipe, const std::string& name) {
    if (!recipe.is_feed() || !water_.ec || water_.ec->value < recipe.ec) return;
    text::Diagnostic d = warning(
        recipe.span,
        "`" + name + "` is to have " + in_ms(recipe.ec) + ", and the water alone has " +
            in_ms(water_.ec->value) + ".",
        "Mix it with rain water, or water from a membrane; or feed stronger where the plants bear "
        "it.");
    d.code = "salty-water";
    diagnostics_.add(std::move(d));
  }

  void look_at_alkalinity(const language::Recipe& recipe, const std::string& name) {
    const bool wants = recipe.is_feed() && recipe.ph > 0 && water_.alkalinity && !water_.acid;
    if (!wants || water_.alkalinity->value <= alkaline || told_alkaline_) return;
    told_alkaline_ = true;
    book::Water with = water_;
    with.acid = book::acids()[1];  // the weaker one is safer to handle
    const double share = with.acid_for(recipe.ph).value_or(0);
    text::Diagnostic d =
        warning(recipe.span,
                "`" + name + "` is to have a pH of " + units::format_number(recipe.ph, 2) +
                    ", and the water has " + in_mg(water_.alkalinity->value) +
                    " of alkalinity, which raises it again.",
                "Name the acid: `acid: " + with.acid->name + "` below `water` would take " +
                    units::format(share, *units::find_unit("L"), 2) +
                    " for 1000 L; it then goes into the feed by itself.");
    d.code = "alkaline-water";
    diagnostics_.add(std::move(d));
  }

  void look_at_mist(const language::Stage& stage) {
    if (stage.mists.empty() || !water_.hardness || water_.hardness->value <= hard || told_hard_) {
      return;
    }
    told_hard_ = true;
    text::Diagnostic d =
        warning(stage.span,
                "`" + stage.name + "` stands under mist, and the water has " +
                    in_mg(water_.hardness->value) + " of hardness: lime on leaves, and in nozzles.",
                "Mist with rain water or softer water; clean the nozzles each week.");
    d.code = "hard-water";
    diagnostics_.add(std::move(d));
  }

  const book::Water& water_;
  text::Diagnostics& diagnostics_;
  bool told_alkaline_ = false;
  bool told_hard_ = false;
};

}  // namespace

void check_water(const std::vector<const language::Protocol*>& protocols, const book::Site& site,
                 text::Diagnostics& diagnostics) {
  if (!site.water) return;
  WaterCheck check(*site.water, diagnostics);
  for (const language::Protocol* protocol : protocols) check.look_at(*protocol);
}

}  // namespace budwood::plan
