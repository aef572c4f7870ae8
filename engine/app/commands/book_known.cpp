#include "app/commands/book_known.hpp"

#include <algorithm>
#include <set>

namespace budwood::app {

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

}  // namespace

BookKnown::BookKnown(const book::Book& book, const std::vector<std::string>& mentioned,
                     record::Store* store)
    : book_(book), store_(store), part_(book) {
  std::set<std::string> names;
  for (const std::string& place : mentioned) names.insert(place.substr(0, place.find('/')));
  std::erase_if(part_.batches, [&](const book::Batch& batch) {
    return !names.contains(batch.id.value) && !names.contains(batch.split_from);
  });
  text::Diagnostics of_plan;  // `budwood plan` tells these
  plan_ = plan::make_plan(part_, of_plan);
  for (const plan::BatchPlan& batch : plan_.batches) {
    if (!batch.dated) {
      orders_[plan_.facts_of(batch).id.value] = orders_without_dates(plan_.protocol_of(batch));
    }
  }
  for (const plan::WorkOrder& order : plan_.orders) {
    orders_[plan_.facts_of(plan_.batches[order.batch]).id.value].push_back(
        plan::order_name(plan_, order));
  }
}

std::vector<std::string> BookKnown::batches() const {
  std::set<std::string> out;
  for (const book::Batch& batch : book_.batches) {
    out.insert(batch.id.value);
    if (!batch.split_from.empty()) out.insert(batch.split_from);
  }
  return {out.begin(), out.end()};
}

const language::Protocol* BookKnown::protocol_of(const std::string& batch) const {
  for (const book::Batch& one : book_.batches) {
    if (is_named(one, batch)) return book::protocol_of(book_, one);
  }
  return nullptr;
}

std::vector<std::string> BookKnown::orders_of(const std::string& batch) const {
  std::set<std::string> out;
  for (const book::Batch& one : part_.batches) {
    if (!is_named(one, batch)) continue;
    const auto found = orders_.find(one.id.value);
    if (found != orders_.end()) out.insert(found->second.begin(), found->second.end());
  }
  return {out.begin(), out.end()};
}

std::vector<const language::Supply*> BookKnown::supplies() const {
  std::vector<const language::Supply*> out;
  for (const language::Protocol& protocol : book_.protocols) {
    for (const language::Supply& supply : protocol.supplies) out.push_back(&supply);
  }
  return out;
}

std::vector<record::Entry> BookKnown::entries(const std::string& front) const {
  std::vector<record::Entry> out;
  if (store_ != nullptr) store_->find(front, out);
  return out;
}

}  // namespace budwood::app
