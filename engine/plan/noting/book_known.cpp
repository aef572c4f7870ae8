#include "plan/noting/book_known.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <set>

namespace budwood::plan {

namespace {

bool is_named(const book::Batch& batch, const std::string& name) {
  return batch.id.value == name || batch.split_from == name;
}

/// How often a work may fall in a batch that has no dates: nobody can say how often it will.
constexpr std::size_t most_turns = 60;

/// The orders of a batch without dates, as far as its protocol tells them.
std::vector<std::string> orders_without_dates(const language::Protocol& protocol) {
  std::vector<std::string> out;
  for (const language::Stage& stage : protocol.stages) {
    for (std::size_t work = 0; work < stage.works.size(); ++work) {
      const language::Timing& timing = stage.works.at(work).timing;
      const bool repeats = timing.kind == language::Timing::Kind::repeat;
      const std::size_t turns = repeats ? most_turns : std::max<std::size_t>(1, timing.days.size());
      for (std::size_t turn = 1; turn <= turns; ++turn) {
        out.push_back(stage.name + "/" + std::to_string(work + 1) + "/" + std::to_string(turn));
      }
    }
  }
  return out;
}

/// Makes a stretch of days hold one more.
void widen(std::optional<record::PlannedDays>& days, calendar::Day day) {
  if (!days) days = record::PlannedDays{day, day};
  days->first = std::min(days->first, day);
  days->last = std::max(days->last, day);
}

/// What of a plan is worth telling when something is noted: that it fits ill with what was told.
bool is_told(const std::string& code) {
  constexpr std::array codes{"record-differs", "lost-uncounted", "two-counts", "many-recorded",
                             "unknown-order"};
  return std::any_of(codes.begin(), codes.end(), [&](const char* one) { return code == one; });
}

}  // namespace

BookKnown::BookKnown(const book::Book& written,
                     const std::vector<language::syntax::EntryLine>& mentioned,
                     record::Store* store)
    : written_(written), store_(store) {
  std::set<std::string> names;
  for (const language::syntax::EntryLine& line : mentioned) {
    names.insert(line.place.value.substr(0, line.place.value.find('/')));
    if (!line.entry || !record::is_id(line.entry->value)) continue;
    for (const record::Entry& entry : entries(line.entry->value)) names.insert(entry.batch);
  }
  mentioned_.folder = written.folder;
  mentioned_.site = written.site;
  mentioned_.rule_sets = written.rule_sets;
  mentioned_.left_out = written.left_out;
  mentioned_.kept = written.kept;
  for (const book::Batch& batch : written.batches) {
    if (names.contains(batch.id.value) || names.contains(batch.split_from)) {
      mentioned_.batches.push_back(batch);
    }
  }
  // A library is larger than what a note is about.
  std::set<const language::Protocol*> used;
  for (const book::Batch& batch : mentioned_.batches) {
    used.insert(book::protocol_of(written, batch));
  }
  for (const language::Protocol& protocol : written.protocols) {
    if (used.contains(&protocol)) mentioned_.protocols.push_back(protocol);
  }
  if (store_ != nullptr) {
    record::Query query;
    query.batches = book::names_of(mentioned_.batches);
    if (!query.batches.empty()) problem_ = store_->read(query, noted_);
  }
  part_ = mentioned_;
  plan_ = plan_with(part_, noted_, found_);
  orders_ = orders_in(plan_);
}

Plan BookKnown::plan_with(book::Book& part, std::vector<record::Entry> entries,
                          text::Diagnostics& found) {
  book::follow(part, std::move(entries), sources_, found);
  return make_plan(part, found);
}

BookKnown::Orders BookKnown::orders_in(const Plan& plan) {
  Orders out;
  for (const BatchPlan& batch : plan.batches) {
    if (!batch.dated) {
      out[plan.facts_of(batch).id.value] = orders_without_dates(plan.protocol_of(batch));
    }
  }
  for (const WorkOrder& order : plan.orders) {
    out[plan.facts_of(plan.batches[order.batch]).id.value].push_back(order_name(plan, order));
  }
  return out;
}

std::unique_ptr<BookKnown::With> BookKnown::with(const std::vector<record::Fresh>& fresh) {
  std::vector<record::Entry> all = noted_;
  std::int64_t turn =
      std::numeric_limits<std::int64_t>::max() - static_cast<std::int64_t>(fresh.size());
  for (const record::Fresh& one : fresh) {
    all.push_back(one.entry);
    all.back().turn = turn++;  // noted last
  }
  auto out = std::make_unique<With>();
  out->part = mentioned_;
  out->plan = plan_with(out->part, std::move(all), out->found);
  return out;
}

text::Diagnostics BookKnown::said_of(const With& with) const {
  std::set<std::string> before;
  for (const text::Diagnostic& d : found_.sorted()) before.insert(d.code + " " + d.message);
  text::Diagnostics out;
  for (const text::Diagnostic& d : with.found.sorted()) {
    if (is_told(d.code) && !before.contains(d.code + " " + d.message)) out.add(d);
  }
  return out;
}

std::vector<std::string> BookKnown::batches() const {
  return book::names_of(written_.batches);
}

const language::Protocol* BookKnown::protocol_of(const std::string& batch) const {
  for (const book::Batch& one : written_.batches) {
    if (is_named(one, batch)) return book::protocol_of(written_, one);
  }
  return nullptr;
}

std::vector<std::string> BookKnown::orders_of(const std::string& batch) const {
  return orders_of(batch, orders_);
}

std::vector<std::string> BookKnown::orders_after(const std::string& batch,
                                                 calendar::Day day) const {
  const auto [place, fresh] = later_.try_emplace(day);
  if (fresh && day < calendar::last_day) {
    book::Book part = part_;
    part.today = std::max(part.today.value_or(day + 1), day + 1);
    text::Diagnostics said;
    place->second = orders_in(make_plan(part, said));
  }
  return orders_of(batch, place->second);
}

std::vector<std::string> BookKnown::orders_of(const std::string& batch,
                                              const Orders& orders) const {
  std::set<std::string> out;
  for (const book::Batch& one : part_.batches) {
    if (!is_named(one, batch)) continue;
    const auto found = orders.find(one.id.value);
    if (found != orders.end()) out.insert(found->second.begin(), found->second.end());
  }
  return {out.begin(), out.end()};
}

std::vector<std::string> BookKnown::cultivars_of(const std::string& batch) const {
  std::vector<std::string> out;
  for (const book::Batch& one : part_.batches) {
    if (!one.cultivar.empty() && one.split_from == batch) out.push_back(one.id.value);
  }
  return out;
}

std::string BookKnown::whole_of(const std::string& batch) const {
  for (const book::Batch& one : part_.batches) {
    if (one.id.value == batch) return one.split_from;
  }
  return "";
}

std::vector<std::string> BookKnown::trays_of(const std::string& batch) const {
  std::set<int> numbers;
  for (const book::Batch& one : part_.batches) {
    if (!one.trial || !is_named(one, batch)) continue;
    for (const book::TrialTray& tray : one.trial->trays) {
      if (tray.letter == one.trial->letter) numbers.insert(tray.number);
    }
  }
  std::vector<std::string> out;
  for (const int number : numbers) out.push_back(std::to_string(number));
  return out;
}

std::optional<record::PlannedDays> BookKnown::days_of(const std::string& batch) const {
  std::optional<record::PlannedDays> out;
  if (batch.empty()) {
    for (const book::Batch& one : written_.batches) {
      for (const auto& day : {one.ready, one.start, one.not_before}) {
        if (day) widen(out, day->value);
      }
    }
    return out;
  }
  for (const BatchPlan& one : plan_.batches) {
    if (!is_named(plan_.facts_of(one), batch) || !one.dated) continue;
    const sheet::Row row = plan_.row_of(one);
    for (const language::StageId stage : row.protocol().stages.ids()) {
      widen(out, row.start(stage));
      widen(out, row.end(stage));
    }
  }
  return out;
}

std::vector<const language::Supply*> BookKnown::supplies() const {
  std::vector<const language::Supply*> out;
  for (const language::Protocol& protocol : written_.protocols) {
    for (const language::Supply& supply : protocol.supplies) out.push_back(&supply);
  }
  return out;
}

std::vector<record::Entry> BookKnown::entries(const std::string& front) const {
  std::vector<record::Entry> out;
  if (store_ == nullptr) return out;
  const std::string problem = store_->find(front, out);
  if (problem_.empty()) problem_ = problem;
  return out;
}

}  // namespace budwood::plan
