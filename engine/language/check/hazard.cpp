#include "language/check/hazard.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

namespace budwood::language {

namespace {

using Caution = std::pair<std::string_view, std::string_view>;

// Common practice, no published source; product labels and local rules go further.
constexpr std::array cautions{
    Caution{"flammable",
            "Flammable: no flame, spark or hot lamp near it; air the room; close the bottle; let "
            "tools dry before any flame."},
    Caution{"corrosive",
            "Corrosive: wear gloves and goggles; add it to water, never water to it; never "
            "mix it with acids, ammonia, alcohol or other cleaners; rinse splashes at once with "
            "plenty of water."},
    Caution{"toxic",
            "Toxic: wear the protection that the label asks for; do not breathe dust or spray; no "
            "food, drink or smoking; wash hands; keep others away; keep it locked away."},
    Caution{"irritant",
            "Irritant: wear gloves; keep it off skin and out of eyes; do not breathe it; rinse off "
            "what gets on you."},
    Caution{"blade",
            "Blade: cut away from the body; on the holding hand wear a cut-resistant glove, or a "
            "finger guard where a glove spoils the grip; put blades away sheathed and used ones "
            "into a sharps container."},
    Caution{"sharps",
            "Sharps: put used blades, needles and broken glass straight into a puncture-proof "
            "sharps container, never into the waste bag; never recap or bend a needle; pick broken "
            "glass up with tongs or a brush, not by hand; close the container before it is full."},
    Caution{"electricity",
            "Electricity near water: use a residual-current breaker and splash-proof fittings; "
            "keep plugs and cables off wet floors; switch off before touching, with dry hands; "
            "repairs are for electricians."},
    Caution{"heat",
            "Heat: let hot things cool down or wear heat-proof gloves; keep clear of steam; in hot "
            "air drink water and take breaks."},
    Caution{"heavy",
            "Heavy: use a trolley or lift with two people; bend the knees, keep the back straight "
            "and the load close, do not twist."},
    Caution{"concentrate",
            "Concentrated stock: wear gloves and eye protection; measure, do not guess; add the "
            "stock to the water; never pour two stocks together; keep it labelled and locked away "
            "from food."},
    Caution{"dust", "Dust: moisten before handling; wear a dust mask; air the room."},
};

/// Tags of work that is dangerous by its nature, and the hazard that it meets.
constexpr std::array tags{
    std::pair<std::string_view, std::string_view>{"cutting", "blade"},
    std::pair<std::string_view, std::string_view>{"sharps_disposal", "sharps"},
    std::pair<std::string_view, std::string_view>{"spraying", "toxic"},
    std::pair<std::string_view, std::string_view>{"lifting", "heavy"},
};

}  // namespace

const std::vector<std::string>& hazard_names() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> out;
    for (const Caution& caution : cautions) out.emplace_back(caution.first);
    return out;
  }();
  return names;
}

std::string_view usual_caution(std::string_view hazard) {
  for (const Caution& caution : cautions) {
    if (caution.first == hazard) return caution.second;
  }
  return {};
}

void add_usual_cautions(const std::vector<std::string>& hazards,
                        std::vector<std::string>& cautions) {
  std::set<std::string_view> met;
  for (const std::string& hazard : hazards) {
    if (met.insert(hazard).second) cautions.emplace_back(usual_caution(hazard));
  }
  if (!met.empty()) cautions.emplace_back(caution_deference());
}

std::string_view hazard_of_tag(std::string_view tag) {
  for (const auto& [name, hazard] : tags) {
    if (name == tag) return hazard;
  }
  return {};
}

bool is_usual_caution(std::string_view caution) {
  return caution == caution_deference() ||
         std::any_of(cautions.begin(), cautions.end(),
                     [&](const Caution& one) { return one.second == caution; });
}

std::string_view caution_deference() {
  return "Follow the product label and your local rules; work that the law reserves to licensed "
         "people stays with them.";
}

}  // namespace budwood::language
