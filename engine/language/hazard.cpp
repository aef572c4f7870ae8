#include "language/hazard.hpp"

#include <array>
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
            "Corrosive: wear gloves and eye protection; add it to water, never water to it; never "
            "mix it with acids or other cleaners."},
    Caution{
        "toxic",
        "Toxic: wear the protection that the label asks for; no food or drink; wash hands; keep "
        "it locked away."},
    Caution{"irritant",
            "Irritant: wear gloves; keep it off skin and out of eyes; do not breathe it."},
    Caution{"blade",
            "Blade: cut away from the body, wear a cut-resistant glove on the holding hand, put "
            "blades away sheathed and used ones into a sharps box."},
    Caution{"electricity",
            "Electricity near water: use a residual-current breaker and splash-proof fittings; "
            "switch off before touching; repairs are for electricians."},
    Caution{"heat", "Heat: hot surfaces or hot air; wear gloves, drink water, take breaks."},
    Caution{"heavy", "Heavy: lift with two people or a trolley, with a straight back."},
    Caution{"concentrate",
            "Concentrated stock: wear gloves and eye protection; measure, do not guess; add the "
            "stock to the water; keep it labelled and locked away from food."},
    Caution{"dust", "Dust: moisten before handling; wear a dust mask; air the room."},
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

std::string_view hazard_of_tag(std::string_view tag) {
  return tag == "cutting" ? "blade" : "";
}

std::string_view caution_deference() {
  return "Follow the product label and your local rules; work that the law reserves to licensed "
         "people stays with them.";
}

}  // namespace budwood::language
