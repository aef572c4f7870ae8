#include "results/curves.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "results/groups.hpp"
#include "results/noted.hpp"

namespace budwood::results {

namespace {

using statistics::Followed;

/// Batch, stage, tray.
using CountedPlace = std::tuple<std::string, std::string, std::string>;
using History = std::map<CountedPlace, std::vector<const record::Entry*>>;

History history_of(const book::Book& book) {
  const AboutBatches about(book);
  History out;
  for (const record::Entry& entry : book.history) {
    const bool counts = entry.what == record::What::counted || entry.what == record::What::lost;
    if (!counts || !entry.number || entry.batch.empty() || !entry.name.empty()) continue;
    out[{about.one(entry), std::string(record::stage_of(entry)), entry.tray}].push_back(&entry);
  }
  for (auto& [what, entries] : out) {
    std::stable_sort(
        entries.begin(), entries.end(),
        [](const record::Entry* a, const record::Entry* b) { return a->day < b->day; });
  }
  return out;
}

/// By batch, all arms of a trial being one, and stage: the day on which it was there for certain,
/// that of its first count. A stage of which nobody noted the start may begin later in the plan.
using FirstCounts = std::map<std::pair<std::string, std::string>, calendar::Day>;

FirstCounts first_counts(const book::Book& book, const History& history) {
  std::map<std::string, std::string> whole;
  for (const book::Batch& batch : book.batches) whole[batch.id.value] = whole_name(batch);
  FirstCounts out;
  for (const auto& [what, entries] : history) {
    const auto& [batch, stage, tray] = what;
    const auto known = whole.find(batch);
    const std::string& name = known == whole.end() ? batch : known->second;
    const calendar::Day day = entries.front()->day;
    const auto [first, fresh] = out.try_emplace({name, stage}, day);
    first->second = std::min(first->second, day);
  }
  return out;
}

/// Follows the plants of one stage or tray through what was noted of it.
class Follower {
 public:
  Follower(calendar::Day began, std::int64_t plants, CurveOf what)
      : began_(began), all_(plants), what_(what) {}

  void follow(const record::Entry& entry) {
    const auto number = static_cast<std::int64_t>(std::llround(*entry.number));
    // A share of some that were looked at says nothing of the others.
    const bool sample = entry.of && std::llround(*entry.of) != all_;
    if (sample) return;
    last_ = entry.day;
    if (entry.what == record::What::lost) {
      if (what_ == CurveOf::survival) happen(number);
    } else {
      const std::int64_t happened = what_ == CurveOf::survival ? all_ - number : number;
      happen(happened - happened_);
    }
  }

  /// What is left is out of sight from the last count on.
  void add_to(Curve& curve, bool over, const std::string& block) {
    const double last = last_ < began_ ? 0 : static_cast<double>(last_ - began_);
    const std::int64_t rest = all_ - happened_;
    if (rest > 0) {
      events_.push_back({last, rest, false});
      curve.unfinished.push_back(events_.back());
      if (!over) curve.under_way += rest;
    }
    curve.plants += all_;
    curve.last = std::max(curve.last, last);
    curve.units.push_back({block, events_, {}});
  }

 private:
  void happen(std::int64_t plants) {
    plants = std::min(plants, all_ - happened_);
    if (plants <= 0) return;
    events_.push_back({static_cast<double>(last_ - began_), plants, true});
    happened_ += plants;
  }

  calendar::Day began_;
  calendar::Day last_ = began_ - 1;
  std::int64_t all_;
  std::int64_t happened_ = 0;
  CurveOf what_;
  std::vector<Followed> events_;
};

/// Whether nothing more can happen to the plants of a stage in it.
bool is_over(const plan::Plan& plan, const Outcome& outcome) {
  const plan::BatchPlan& batch = plan.batches[outcome.batch];
  const book::Batch& facts = plan.facts_of(batch);
  const std::string& stage = plan.protocol_of(batch).stages[outcome.stage].name;
  const auto ended = std::any_of(facts.pins.begin(), facts.pins.end(), [&](const book::Pin& pin) {
    return pin.recorded && pin.side == book::Pin::Side::end && pin.stage == stage;
  });
  if (ended || facts.stopped) return true;
  const sheet::Row row = plan.row_of(batch);
  const auto end = row.known_day(row.cells(outcome.stage).end);
  return end && plan.book->today && *end <= *plan.book->today;
}

}  // namespace

std::vector<Followed> plants_of(const Curve& curve) {
  std::vector<Followed> all;
  for (const CurveUnit& unit : curve.units) {
    all.insert(all.end(), unit.plants.begin(), unit.plants.end());
  }
  return all;
}

std::vector<Curve> curves_of(const std::vector<Asked>& books, const Question& question,
                             CurveOf what) {
  using Key = std::tuple<std::size_t, std::string, std::int32_t, std::string>;
  std::map<Key, Curve> groups;
  for (std::size_t book = 0; book < books.size(); ++book) {
    const plan::Plan& plan = *books[book].plan;
    const History history = history_of(*plan.book);
    const FirstCounts first = first_counts(*plan.book, history);
    std::vector<LeftOut> unheard;
    for (const Outcome& one : outcomes_of(plan, unheard)) {
      const language::Protocol& protocol = plan.protocol_of(plan.batches[one.batch]);
      const language::Stage& stage = protocol.stages[one.stage];
      if (!question.stage.empty() && stage.name != question.stage) continue;
      const book::Batch& facts = plan.facts_of(plan.batches[one.batch]);
      const auto entries = history.find({facts.id.value, stage.name, one.tray});
      if (entries == history.end()) continue;
      const calendar::Day began = std::min(one.began, first.at({whole_name(facts), stage.name}));
      Follower follower(began, one.plants.of, what);
      for (const record::Entry* entry : entries->second) follower.follow(*entry);
      const Belongs belongs{one.batch, one.stage, one.tray, one.person, one.began};
      for (const std::string& group : groups_of(plan, belongs, question.by)) {
        Curve& curve = groups[{question.books_together ? std::size_t{0} : book,
                               method_of(plan, one.batch), one.stage, group}];
        curve.book = book;
        curve.group = group;
        curve.protocol = method_of(plan, one.batch);
        curve.stage = stage.name;
        curve.title = title_of(stage);
        Follower(follower).add_to(curve, is_over(plan, one),
                                  block_of(plan, book, one.batch, one.tray));
        curve.units.back().changed_trial = changed_trial(plan, one.batch);
      }
    }
  }
  std::vector<Curve> out;
  for (auto& [key, curve] : groups) {
    curve.steps = statistics::survival_curve(plants_of(curve));
    out.push_back(std::move(curve));
  }
  return out;
}

}  // namespace budwood::results
