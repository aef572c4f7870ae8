#include "report/differences/comparison.hpp"

#include <algorithm>
#include <cmath>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"

namespace budwood::report {

namespace {

constexpr std::size_t most_changes = 12;

Reading reading_of(const plan::Change& change, double value) {
  if (change.kind == plan::Change::Kind::date) return date_reading(value);
  if (change.kind == plan::Change::Kind::yes_no) {
    return std::isnan(value) ? no_reading() : text_reading(value > 0 ? "yes" : "no");
  }
  if (change.unit.noun == "plants") return plants_reading(value);
  return change.unit.symbol == "%" ? share_reading(value) : amount_reading(value, change.unit);
}

void pair_up(const plan::Plan& plan, const plan::BatchPlan* BatchPair::*side,
             std::vector<BatchPair>& pairs) {
  for (const plan::BatchPlan& batch : plan.batches) {
    pairs[batch.batch].*side = &batch;
    pairs[batch.batch].id = &plan.facts_of(batch).id.value;
  }
}

}  // namespace

std::vector<BatchPair> pairs_of(const Comparison& both) {
  std::vector<BatchPair> pairs(both.before.book->batches.size());
  pair_up(both.before, &BatchPair::before, pairs);
  pair_up(both.after, &BatchPair::after, pairs);
  std::erase_if(pairs, [](const BatchPair& pair) { return pair.id == nullptr; });
  return pairs;
}

const language::Protocol& protocol_of(const Comparison& both, const BatchPair& pair) {
  return pair.before != nullptr ? both.before.protocol_of(*pair.before)
                                : both.after.protocol_of(*pair.after);
}

Differences change_rows(const Comparison& both) {
  Differences out;
  for (const plan::Change& change : both.changes) {
    Difference one;
    one.about = "what_if";
    one.batch = change.batch.empty() ? "site" : change.batch;
    one.name = change.name;
    one.before = reading_of(change, change.before);
    one.after = reading_of(change, change.after);
    if (!change.until.empty()) one.after = text_reading(one.after.shown + " to " + change.until);
    out.push_back(std::move(one));
  }
  return out;
}

void write_changes_head(std::ostream& out, const Comparison& both, const Style& style) {
  for (const std::string& line :
       wrap("What if at " + both.before.book->site.name.value, style.width)) {
    out << inked(line, Ink::strong, style) << '\n';
  }
  Differences rows = change_rows(both);
  const std::size_t more = rows.size() > most_changes ? rows.size() - most_changes : 0;
  rows.resize(rows.size() - more);
  write_differences_table(out, rows, "Changed", style);
  if (more > 0) write_remark(out, "... and " + counted(more, "more change") + ".", style);
}

}  // namespace budwood::report
