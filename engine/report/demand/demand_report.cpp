#include "report/demand/demand_report.hpp"

#include <fmt/format.h>

#include "report/formats/csv.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using Kind = Table::Kind;
using Layout = JsonWriter::Layout;

void write_case(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch,
                const NamedCase& one) {
  json.begin_object();
  json.text("number", one.name);
  json.number("plants", static_cast<double>(one.of->plants));
  json.begin_list("starts");
  for (const auto& [stage, plants] : one.of->starts) {
    json.begin_object();
    json.text("stage", plan.protocol_of(batch).stages[stage].name);
    json.number("plants", plants);
    json.end();
  }
  json.end();
  json.number("expected", one.of->expected);
  json.number("sold", one.of->met.sold);
  json.number("over", one.of->met.over);
  json.number("missing", one.of->met.lack);
  json.number("enough", one.of->met.enough);
  json.number("lost", one.of->cost);
  json.end();
}

void write_promises(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch) {
  json.begin_list("promised", Layout::lines);
  for (const plan::PromiseKept& one : plan::promises_of(plan, batch)) {
    json.begin_object();
    json.number("plants", static_cast<double>(one.promise->plants));
    json.date("on", one.promise->on);
    json.text("for", one.promise->whose);
    json.number("there", one.there);
    if (one.whole) {
      json.date("whole", *one.whole);
    } else {
      json.null("whole");
    }
    json.flag("kept", one.kept());
    json.end();
  }
  json.end();
}

void write_csv(std::ostream& out, const plan::Plan& plan,
               const std::vector<const plan::BatchPlan*>& batches) {
  Csv csv(out);
  for (const char* head :
       {"batch", "kind", "plants", "starts", "expected", "sold", "over", "missing", "enough",
        "lost", "currency", "on", "for", "there", "whole", "kept"}) {
    csv.text(head);
  }
  csv.end_row();
  const auto blank = [&](int fields) {
    for (int i = 0; i < fields; ++i) csv.text("");
  };
  for (const plan::BatchPlan* batch : batches) {
    const std::string& id = plan.facts_of(*batch).id.value;
    if (const auto view = plan::demand_of(plan, *batch)) {
      for (const NamedCase& one : cases_of(*view)) {
        double started = 0;
        for (const auto& [stage, plants] : one.of->starts) started += plants;
        csv.text(id).text(one.name).number(static_cast<double>(one.of->plants)).number(started);
        csv.number(one.of->expected).number(one.of->met.sold).number(one.of->met.over);
        csv.number(one.of->met.lack).number(one.of->met.enough).number(one.of->cost);
        csv.text(currency_of(plan));
        blank(5);
        csv.end_row();
      }
    }
    for (const plan::PromiseKept& one : plan::promises_of(plan, *batch)) {
      csv.text(id).text("promised").number(static_cast<double>(one.promise->plants));
      blank(8);
      csv.text(calendar::iso_date(one.promise->on)).text(one.promise->whose).number(one.there);
      csv.text(one.whole ? calendar::iso_date(*one.whole) : "").text(one.kept() ? "yes" : "no");
      csv.end_row();
    }
  }
}

void write_json(std::ostream& out, const plan::Plan& plan,
                const std::vector<const plan::BatchPlan*>& batches) {
  JsonWriter json(out);
  json.begin_object(Layout::lines);
  json.text("site", plan.book->site.name.value);
  json.text("currency", currency_of(plan));
  json.begin_list("batches", Layout::lines);
  for (const plan::BatchPlan* batch : batches) {
    json.begin_object(Layout::lines);
    json.text("batch", plan.facts_of(*batch).id.value);
    write_wanted(json, plan, *batch);
    json.end();
  }
  json.end();
  json.end();
}

void write_demand_table(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
                        const Style& style) {
  const auto view = plan::demand_of(plan, batch);
  if (!view) return;
  Table table({{"Batch " + plan.facts_of(batch).id.value, Kind::entry},
               {"Plants", Kind::number},
               {"Start with"},
               {"Sold", Kind::number},
               {"Over", Kind::number},
               {"Missing", Kind::number},
               {"Enough", Kind::number},
               {with_currency("Lost", plan), Kind::number}});
  for (const NamedCase& one : cases_of(*view)) {
    const plan::DemandCase& of = *one.of;
    table.add({one.name, std::to_string(of.plants), starts_text(plan, batch, of),
               fmt::format("{:.1f}", of.met.sold), fmt::format("{:.1f}", of.met.over),
               fmt::format("{:.1f}", of.met.lack), chance_text(of.met.enough),
               money_text(of.cost)});
  }
  out << '\n';
  table.write(out, style, 2);
}

void write_promises_table(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
                          const Style& style) {
  Table table({{"Batch " + plan.facts_of(batch).id.value, Kind::entry},
               {"Promised", Kind::number},
               {"For"},
               {"There by then", Kind::number},
               {"All there from", Kind::entry}});
  for (const plan::PromiseKept& one : plan::promises_of(plan, batch)) {
    table.add({short_date(one.promise->on), std::to_string(one.promise->plants), one.promise->whose,
               whole_plants(one.there), one.whole ? short_date(*one.whole) : std::string("never")});
  }
  if (table.empty()) return;
  out << '\n';
  table.write(out, style, 2);
}

}  // namespace

std::vector<const plan::BatchPlan*> wanted_batches(const plan::Plan& plan, const Filter& filter) {
  std::vector<const plan::BatchPlan*> out;
  for (const plan::BatchPlan& batch : plan.batches) {
    const book::Batch& facts = plan.facts_of(batch);
    const bool any = facts.demand || !facts.promised.empty();
    const bool asked = !filter.batch || *filter.batch == facts.id.value;
    if (any && asked && (batch.dated || !batch.raised)) out.push_back(&batch);
  }
  return out;
}

void write_wanted(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch) {
  const book::Batch& facts = plan.facts_of(batch);
  if (const auto view = plan::demand_of(plan, batch)) {
    json.begin_object("demand", Layout::lines);
    json.number("least", static_cast<double>(facts.demand->least.value));
    json.number("usual", static_cast<double>(facts.demand->usual.value));
    json.number("most", static_cast<double>(facts.demand->most.value));
    json.number("too_many", facts.demand->too_many.quantity.value);
    json.number("too_few", facts.demand->too_few.quantity.value);
    json.begin_list("numbers", Layout::lines);
    for (const NamedCase& one : cases_of(*view)) write_case(json, plan, batch, one);
    json.end();
    json.end();
  }
  if (!facts.promised.empty()) write_promises(json, plan, batch);
}

std::size_t write_demand(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                         Format format, const Style& style) {
  const auto batches = wanted_batches(plan, filter);
  if (format == Format::csv) {
    write_csv(out, plan, batches);
  } else if (format == Format::json) {
    write_json(out, plan, batches);
  } else {
    const std::string title = "What is wanted at " + plan.book->site.name.value;
    for (const std::string& line : wrap(title, style.width)) {
      out << inked(line, Ink::strong, style) << '\n';
    }
    for (const plan::BatchPlan* batch : batches) {
      write_demand_table(out, plan, *batch, style);
      write_promises_table(out, plan, *batch, style);
    }
    if (batches.empty()) out << "\nNo batch says `demand` or `promised`.\n";
  }
  return batches.size();
}

}  // namespace budwood::report
