#include "results/noted.hpp"

#include <algorithm>

#include "record/line.hpp"
#include "text/text.hpp"

namespace budwood::results {

namespace {

using record::What;

void count(NotedCount& noted, const record::Entry& entry) {
  noted.alive = *entry.number;
  noted.of = entry.of;
  noted.day = entry.day;
}

void lose(NotedCount& noted, const record::Entry& entry) {
  // Without a count before it there is nothing to take it from.
  if (!noted.alive || noted.of) return;
  noted.alive = std::max(0.0, *noted.alive - *entry.number);
  noted.day = entry.day;
}

void work(NotedBatch& batch, const record::Entry& entry, const std::string& stage) {
  std::vector<std::string>& people = batch.people[stage][entry.tray];
  const bool known = std::find(people.begin(), people.end(), entry.by) != people.end();
  if (!entry.by.empty() && !known) people.push_back(entry.by);
  if (!entry.number) return;
  NotedCount& noted = batch.stages[stage][entry.tray];
  noted.worked = std::max(noted.worked.value_or(0), *entry.number);
  if (entry.seconds && *entry.seconds > 0 && *entry.number > 0) batch.timed.push_back(&entry);
}

/// Of an entry about several batches it is known who worked; how many plants each has is not.
void several(NotedRecord& out, const std::vector<std::string>& batches, const record::Entry& entry,
             const std::string& stage, bool counts) {
  if (counts) {
    out.unclear.push_back(
        {entry.batch, stage + ": " + record::number_text(*entry.number) +
                          " were noted of all of it together, so it is not known of which of " +
                          text::list_words(batches, "and") + ". Note them for each."});
    return;
  }
  for (const std::string& name : batches) {
    std::vector<std::string>& people = out.batches[name].people[stage][entry.tray];
    if (!entry.by.empty() && std::find(people.begin(), people.end(), entry.by) == people.end()) {
      people.push_back(entry.by);
    }
  }
}

}  // namespace

const NotedCount* NotedBatch::find(const std::string& stage, const std::string& tray) const {
  const auto of_stage = stages.find(stage);
  if (of_stage == stages.end()) return nullptr;
  const auto found = of_stage->second.find(tray);
  return found == of_stage->second.end() ? nullptr : &found->second;
}

AboutBatches::AboutBatches(const book::Book& book) {
  for (const book::Batch& batch : book.batches) {
    if (batch.split_from.empty() || batch.split_from == batch.id.value) continue;
    divided_[batch.split_from].push_back(&batch);
  }
}

const std::string& AboutBatches::one(const record::Entry& entry) const {
  static const std::string none;
  if (divided_.empty()) return entry.batch;
  const auto found = divided_.find(entry.batch);
  if (found == divided_.end()) return entry.batch;
  for (const book::Batch* batch : found->second) {
    const bool own = batch->trial && batch->trial->own_tray(entry.tray) != nullptr;
    if (own) return batch->id.value;
  }
  return none;
}

std::vector<std::string> AboutBatches::several(const record::Entry& entry) const {
  std::vector<std::string> out;
  for (const book::Batch* batch : divided_.at(entry.batch)) out.push_back(batch->id.value);
  return out;
}

NotedRecord noted_in(const book::Book& book) {
  std::vector<const record::Entry*> entries;
  entries.reserve(book.history.size());
  for (const record::Entry& entry : book.history) {
    if (!entry.batch.empty() && !entry.place.empty()) entries.push_back(&entry);
  }
  // Mostly it is in this order already.
  const auto earlier = [](const record::Entry* one, const record::Entry* other) {
    return one->day < other->day;
  };
  if (!std::is_sorted(entries.begin(), entries.end(), earlier)) {
    std::stable_sort(entries.begin(), entries.end(), earlier);
  }
  const AboutBatches about(book);
  NotedRecord out;
  for (const record::Entry* entry : entries) {
    const bool counts = (entry->what == What::counted || entry->what == What::lost) &&
                        entry->number.has_value() &&
                        entry->name.empty();  // a grade is a part of what came through
    if (!counts && entry->what != What::done) continue;
    const std::string stage(record::stage_of(*entry));
    const std::string& name = about.one(*entry);
    if (name.empty()) {
      several(out, about.several(*entry), *entry, stage, counts);
      continue;
    }
    NotedBatch& batch = out.batches[name];
    if (entry->what == What::done) work(batch, *entry, stage);
    if (!counts) continue;
    NotedCount& noted = batch.stages[stage][entry->tray];
    if (entry->what == What::counted) count(noted, *entry);
    if (entry->what == What::lost) lose(noted, *entry);
  }
  return out;
}

}  // namespace budwood::results
