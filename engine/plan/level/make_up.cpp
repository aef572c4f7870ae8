#include "plan/level/make_up.hpp"

#include <algorithm>
#include <cmath>

#include "book/book.hpp"
#include "sheet/counts/prospects.hpp"

namespace budwood::plan {

using calendar::Day;

namespace {

/// By how many days a batch may move while it looks for room and hands: common practice, no
/// published source.
constexpr int most_days_of_looking = 60;

std::string free_id(const book::Book& book, const std::string& id) {
  for (int number = 1;; ++number) {
    const std::string tail = "-M" + std::to_string(number);
    const std::string name = id.substr(0, book::longest_batch_id - tail.size()) + tail;
    const bool taken = std::any_of(book.batches.begin(), book.batches.end(), [&](const auto& one) {
      return one.id.value == name || one.split_from == name;
    });
    if (!taken) return name;
  }
}

/// The first day on which a batch that begins on a day or later is ready.
std::optional<Day> soonest(const book::Book& book, book::Batch batch, Day from) {
  batch.ready.reset();
  batch.not_before = book::Placed<Day>{from, {}};
  book::Book alone = book;
  alone.batches = {std::move(batch)};
  text::Diagnostics told;
  const Plan plan = make_plan(alone, told);
  if (plan.batches.empty() || !plan.batches.front().dated) return std::nullopt;
  return plan.row_of(plan.batches.front()).ready();
}

}  // namespace

std::int64_t missing_plants(const Plan& plan, const BatchPlan& batch) {
  const book::Batch& facts = plan.facts_of(batch);
  if (facts.stopped) return facts.plants.value;
  if (facts.counted.empty()) return 0;
  const auto prospects = sheet::prospects(plan.row_of(batch));
  if (!prospects) return 0;
  // An expected number is no whole number of plants; what is left over of one is missed by nobody.
  const auto expected = static_cast<std::int64_t>(std::round(prospects->expected));
  const auto taken = static_cast<std::int64_t>(batch.from_stock);
  return std::max<std::int64_t>(0, facts.plants.value - taken - expected);
}

std::optional<book::Batch> make_up_batch(const Plan& plan, const BatchPlan& batch,
                                         std::int64_t plants) {
  const book::Book& book = *plan.book;
  if (!book.today) return std::nullopt;
  const book::Batch& facts = plan.facts_of(batch);
  book::Batch out;
  out.id.value = free_id(book, facts.id.value);
  out.protocol = facts.protocol;
  out.edition = facts.edition;
  out.plants.value = plants;
  out.sure = facts.sure;
  out.usual_sure = facts.usual_sure;
  out.set = facts.set;
  out.note = "Makes up for " + facts.id.value + ".";
  const auto first = soonest(book, out, *book.today);
  if (!first) return std::nullopt;
  const Day wanted = facts.ready ? facts.ready->value : *first;
  out.ready = book::Placed<Day>{std::max(wanted, *first), {}};
  out.early = book::Placed<int>{0, {}};
  out.late = book::Placed<int>{most_days_of_looking, {}};
  return out;
}

}  // namespace budwood::plan
