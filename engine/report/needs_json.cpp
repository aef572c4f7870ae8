#include "report/json.hpp"
#include "report/wording.hpp"
#include "report/writers.hpp"

namespace budwood::report {

namespace {

void write_supply(JsonWriter& json, const plan::SupplyNeed& need) {
  json.begin_object();
  json.text("supply", need.supply);
  json.text("title", need.title);
  json.number("amount", need.unit.from_base(need.amount));
  json.text("unit", need.unit.symbol);
  json.flag("reused", need.reused);
  if (need.pack > 0) {
    json.number("pack", need.unit.from_base(need.pack));
    json.number("packs", need.packs);
  } else {
    json.null("pack");
    json.null("packs");
  }
  json.end();
}

}  // namespace

void write_needs_json(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs) {
  using Layout = JsonWriter::Layout;
  JsonWriter json(out);
  json.begin_object(Layout::lines);
  json.text("site", plan.book->site.name.value);
  json.begin_list("supplies", Layout::lines);
  for (const plan::SupplyNeed& need : needs.supplies) write_supply(json, need);
  json.end();
  json.begin_list("crews", Layout::lines);
  for (const plan::CrewNeed& need : needs.crews) {
    json.begin_object();
    json.text("crew", need.crew);
    json.number("person_hours", need.seconds / seconds_an_hour);
    json.end();
  }
  json.end();
  json.end();
}

}  // namespace budwood::report
