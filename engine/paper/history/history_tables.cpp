#include "paper/history/history_tables.hpp"

#include <algorithm>
#include <charconv>
#include <unordered_map>

#include "record/line.hpp"
#include "report/formats/wording.hpp"
#include "report/orders/order_words.hpp"
#include "report/record/fates.hpp"

namespace budwood::paper {

namespace {

using record::Entry;
using record::What;

std::vector<const Entry*> by_day(const std::vector<Entry>& entries, bool done) {
  std::vector<const Entry*> out;
  for (const Entry& entry : entries) {
    if ((entry.what == What::done) == done) out.push_back(&entry);
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Entry* one, const Entry* other) { return one->day < other->day; });
  return out;
}

/// The title of the work of "grafting/2/1", with its name; its name alone when there is none.
std::string work_text(const language::Protocol& protocol, const Entry& entry) {
  const std::string name = "(" + entry.place + ")";
  const std::size_t slash = entry.place.find('/');
  const language::StageId stage = protocol.stages.find(entry.place.substr(0, slash));
  std::size_t work = 0;
  const char* end = entry.place.data() + entry.place.size();
  if (slash != std::string::npos) std::from_chars(entry.place.data() + slash + 1, end, work);
  if (!stage.known() || work == 0 || work > protocol.stages[stage].works.size()) return name;
  return protocol.stages[stage].works[language::WorkId(work - 1)].title + " " + name;
}

/// What was used for an order where nobody noted it: as it was planned.
std::string planned_supplies(const plan::Plan& plan, const plan::WorkOrder& order) {
  std::vector<std::string> pieces;
  for (const plan::SupplyAmount& use : plan::describe(plan, order).supplies) {
    pieces.push_back(report::supply_text(use));
  }
  return pieces.empty() ? "" : "as planned: " + report::joined(pieces, "; ");
}

}  // namespace

Rows stage_rows(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const book::Batch& facts = plan.facts_of(batch);
  Rows out;
  for (const language::StageId s : row.protocol().stages.ids()) {
    const language::Stage& stage = row.stage(s);
    std::string dates[2];
    for (const sheet::Pin& pin : row.facts().pins) {
      if (pin.stage != s || !pin.recorded) continue;
      dates[pin.end ? 1 : 0] =
          calendar::short_date(pin.day) + (pin.inferred ? ", taken for granted" : "");
    }
    const auto count =
        std::find_if(facts.counted.begin(), facts.counted.end(),
                     [&](const book::Count& one) { return one.stage == stage.name; });
    const std::string left = count == facts.counted.end() ? "" : std::to_string(count->plants);
    out.push_back({report::shown_name(stage), stage.room, dates[0], dates[1], left});
  }
  return out;
}

Rows work_rows(const plan::Plan& plan, const plan::BatchPlan& batch,
               const std::vector<Entry>& holding) {
  std::unordered_map<std::string, const plan::WorkOrder*> orders;
  for (const plan::WorkOrder& order : plan.orders) {
    if (&plan.batches[order.batch] == &batch) orders[plan::order_name(plan, order)] = &order;
  }
  Rows out;
  for (const Entry* entry : by_day(holding, true)) {
    std::string used = record::used_text(*entry);
    const auto order = orders.find(entry->place);
    if (used.empty() && order != orders.end()) used = planned_supplies(plan, *order->second);
    out.push_back({calendar::short_date(entry->day), entry->by,
                   work_text(plan.protocol_of(batch), *entry), record::amount_text(*entry),
                   record::time_text(*entry), used, entry->words});
  }
  return out;
}

Rows other_rows(const std::vector<Entry>& holding) {
  Rows out;
  for (const Entry* entry : by_day(holding, false)) {
    Entry alone = *entry;
    alone.corrects.clear();  // what it took the place of stands among the entries
    out.push_back({calendar::short_date(entry->day), entry->by, record::told(alone)});
  }
  return out;
}

Rows entry_rows(const std::vector<Entry>& entries) {
  const report::Fates fates(entries);
  Rows out;
  for (const Entry& entry : entries) {
    // "2027-04-08 07:31 UTC" of "2027-04-08T07:31:22.123Z"
    const std::string moment = record::moment_text(entry.noted);
    out.push_back({entry.id.substr(0, report::short_id),
                   moment.substr(0, 10) + " " + moment.substr(11, 5) + " UTC",
                   calendar::iso_date(entry.day), entry.by, record::told(entry),
                   fates.words(entry)});
  }
  return out;
}

std::vector<std::string> deviation_texts(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::vector<std::string> out;
  const std::string& id = plan.facts_of(batch).id.value;
  for (const sheet::Deviation& one : plan.row_of(batch).deviations()) {
    if (one.happened) out.push_back(one.text);
  }
  for (const plan::Conflict& conflict : plan.conflicts) {
    if (!plan::concerns(conflict, id)) continue;
    out.push_back(conflict.message);
    for (const sheet::DateConflict::Line& fact : conflict.facts) out.push_back(fact.text);
  }
  return out;
}

}  // namespace budwood::paper
