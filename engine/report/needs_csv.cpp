#include "report/csv.hpp"
#include "report/wording.hpp"
#include "report/writers.hpp"

namespace budwood::report {

void write_needs_csv(std::ostream& out, const plan::Needs& needs) {
  Csv csv(out);
  for (const char* head : {"kind", "name", "title", "amount", "unit", "reused", "pack", "packs"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const plan::SupplyNeed& need : needs.supplies) {
    csv.text("supply").text(need.supply).text(need.title);
    csv.number(need.unit.from_base(need.amount)).text(need.unit.symbol);
    csv.text(need.reused ? "yes" : "no");
    if (need.pack > 0) {
      csv.number(need.unit.from_base(need.pack)).number(need.packs);
    } else {
      csv.text("").text("");
    }
    csv.end_row();
  }
  for (const plan::CrewNeed& need : needs.crews) {
    csv.text("crew").text(need.crew).text("");
    csv.number(need.seconds / seconds_an_hour).text("person-hours");
    csv.text("").text("").text("").end_row();
  }
}

}  // namespace budwood::report
