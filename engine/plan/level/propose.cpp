#include "plan/level/propose.hpp"

#include <algorithm>
#include <map>

#include "plan/level/level.hpp"
#include "plan/orders/turns.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

using calendar::Day;

namespace {

/// A batch of the demand, and into how many it is split.
struct Wish {
  book::Batch batch;
  int parts = 1;
};

std::vector<book::Batch> parts_of(const Wish& wish) {
  std::vector<book::Batch> out;
  const std::int64_t plants = wish.batch.plants.value;
  for (int part = 0; part < wish.parts; ++part) {
    book::Batch one = wish.batch;
    one.plants.value = plants * (part + 1) / wish.parts - plants * part / wish.parts;
    if (wish.parts > 1) one.id.value += std::string(1, static_cast<char>('a' + part));
    out.push_back(std::move(one));
  }
  return out;
}

/// The demand as it is split at present, levelled beside the book.
class Trial {
 public:
  Trial(const book::Book& book, const std::vector<Wish>& wishes, LevelOptions options,
        text::Diagnostics& diagnostics)
      : book_(book) {
    for (const book::Batch& batch : book_.batches) options.stay.insert(batch.id.value);
    for (std::size_t w = 0; w < wishes.size(); ++w) {
      for (book::Batch& part : parts_of(wishes[w])) {
        wish_of_[part.id.value] = w;
        book_.batches.push_back(std::move(part));
      }
    }
    const Plan today = make_plan(book_, diagnostics);
    found_ = level(today, options);
  }

  const Levelling& found() const { return found_; }
  /// The wishes of which some part finds no place.
  std::vector<std::size_t> unmet() const {
    std::vector<std::size_t> out;
    for (const Unresolved& one : found_.unresolved) {
      const auto wish = wish_of_.find(one.batch);
      if (wish != wish_of_.end() && (out.empty() || out.back() != wish->second)) {
        out.push_back(wish->second);
      }
    }
    return out;
  }
  bool is_wish(const std::string& batch) const { return wish_of_.contains(batch); }

 private:
  book::Book book_;
  Levelling found_;
  std::map<std::string, std::size_t> wish_of_;
};

/// Whether a batch stands where it would stand by itself, so that its ready date says it all.
bool says_it_all(const Plan& levelled, const Plan& alone, std::size_t index) {
  const BatchPlan& one = levelled.batches[index];
  const BatchPlan& other = alone.batches[index];
  if (!other.dated) return false;
  for (const StageId s : levelled.protocol_of(one).stages.ids()) {
    if (levelled.row_of(one).start(s) != alone.row_of(other).start(s)) return false;
  }
  return true;
}

/// The batches of a trial as they could be written down: ready on their new day, with pins only
/// where that day alone would lead to other dates.
std::vector<ProposedBatch> written(const Trial& trial) {
  book::Book with = trial.found().book;
  book::Book without = with;
  std::vector<Day> asked;
  for (book::Batch& batch : without.batches) {
    asked.push_back(batch.ready ? batch.ready->value : 0);
    if (!batch.levelled || !trial.is_wish(batch.id.value)) continue;
    if (batch.ready) batch.ready->value = batch.levelled->ready;
    batch.levelled.reset();
  }
  text::Diagnostics told_before;
  const Plan levelled = make_plan(with, told_before);
  const Plan alone = make_plan(without, told_before);
  std::vector<ProposedBatch> out;
  for (std::size_t i = 0; i < levelled.batches.size(); ++i) {
    const BatchPlan& batch = levelled.batches[i];
    const book::Batch& facts = levelled.facts_of(batch);
    if (!trial.is_wish(facts.id.value) || !batch.dated) continue;
    ProposedBatch one;
    one.batch = without.batches[batch.batch];
    one.asked = asked[batch.batch];
    one.starts = first_start(levelled, batch);
    if (facts.levelled && !says_it_all(levelled, alone, i)) one.batch.pins = facts.levelled->dates;
    out.push_back(std::move(one));
  }
  return out;
}

}  // namespace

Proposal propose(const book::Book& book, const std::vector<book::Batch>& demand,
                 const LevelOptions& options, text::Diagnostics& diagnostics) {
  std::vector<Wish> wishes;
  for (const book::Batch& batch : demand) wishes.push_back({batch, 1});
  while (true) {
    text::Diagnostics found;
    const Trial trial(book, wishes, options, found);
    bool split = false;
    for (const std::size_t w : trial.unmet()) {
      const std::int64_t plants = wishes[w].batch.plants.value;
      if (wishes[w].parts >= most_parts_of_batch || plants <= wishes[w].parts) continue;
      ++wishes[w].parts;
      split = true;
    }
    if (split) continue;
    Proposal out;
    out.batches = written(trial);
    for (const Unresolved& one : trial.found().unresolved) {
      if (!trial.is_wish(one.batch)) continue;
      out.unmet.push_back(one);
      std::erase_if(out.batches,
                    [&](const ProposedBatch& each) { return each.batch.id.value == one.batch; });
    }
    for (const text::Diagnostic& d : found.sorted()) diagnostics.add(d);
    return out;
  }
}

}  // namespace budwood::plan
