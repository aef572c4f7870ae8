#include <ostream>

#include "report/json.hpp"
#include "report/wording.hpp"
#include "report/writers.hpp"

namespace budwood::report {

void write_needs_json(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs) {
  Json supplies = Json::array();
  for (const plan::SupplyNeed& need : needs.supplies) {
    const bool packed = need.pack > 0;
    supplies.push_back(
        {{"supply", need.supply},
         {"title", need.title},
         {"amount", json_number(need.unit.from_base(need.amount))},
         {"unit", need.unit.symbol},
         {"reused", need.reused},
         {"pack", packed ? json_number(need.unit.from_base(need.pack)) : Json(nullptr)},
         {"packs", packed ? json_number(need.packs) : Json(nullptr)}});
  }
  Json crews = Json::array();
  for (const plan::CrewNeed& need : needs.crews) {
    crews.push_back(
        {{"crew", need.crew}, {"person_hours", json_number(need.seconds / seconds_an_hour)}});
  }
  const auto write_list = [&](const char* key, const Json& list, const char* after) {
    out << "  \"" << key << "\": [";
    for (std::size_t i = 0; i < list.size(); ++i) {
      out << (i == 0 ? "\n    " : ",\n    ") << dump(list[i]);
    }
    out << (list.empty() ? "]" : "\n  ]") << after;
  };
  out << "{\n  \"site\": " << dump(plan.book->site.name.value) << ",\n";
  write_list("supplies", supplies, ",\n");
  write_list("crews", crews, "\n}\n");
}

}  // namespace budwood::report
