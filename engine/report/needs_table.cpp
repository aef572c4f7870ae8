#include <ostream>

#include "report/wording.hpp"
#include "report/writers.hpp"

namespace budwood::report {

namespace {

std::string supply_name(const plan::SupplyNeed& need) {
  return need.title.empty() ? need.supply : need.title;
}

std::string packs_text(const plan::SupplyNeed& need) {
  if (need.pack <= 0) return {};
  return units::format_number(need.packs) + " of " + units::format(need.pack, need.unit);
}

}  // namespace

void write_needs_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                       const Style& style) {
  const auto heading = [&](std::string_view text) {
    for (const std::string& line : wrap(text, style.width)) {
      out << inked(line, Ink::strong, style) << '\n';
    }
  };
  heading("Needs of " + plan.book->site.name.value + ", all batches");
  if (needs.supplies.empty() && needs.crews.empty()) {
    out << "\nNothing: there are no work orders.\n";
    return;
  }
  using Kind = Table::Kind;
  Table supplies({{"Supply"}, {"Amount", Kind::number}, {"Packs", Kind::number}, {""}});
  for (const plan::SupplyNeed& need : needs.supplies) {
    supplies.add({supply_name(need), units::format(need.amount, need.unit), packs_text(need),
                  need.reused ? "comes back; the most out at once" : ""});
  }
  if (!supplies.empty()) {
    out << '\n';
    supplies.write(out, style, 2);
  }
  Table crews({{"Crew"}, {"Work", Kind::number}});
  double total = 0;
  for (const plan::CrewNeed& need : needs.crews) {
    crews.add({need.crew.empty() ? "anyone" : need.crew, time_text(need.seconds)});
    total += need.seconds;
  }
  if (crews.empty()) return;
  crews.add({"all together", time_text(total)});
  out << '\n';
  crews.write(out, style, 2);
}

}  // namespace budwood::report
