#include "plan/prospects.hpp"

#include <algorithm>
#include <cmath>

#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using sheet::Chain;
using statistics::Counts;
using statistics::Rate;

class Prospector {
 public:
  explicit Prospector(const sheet::Row& row) : row_(row), t_(row.layout()) {}

  std::optional<Prospects> run() {
    for (const Chain& chain : t_.chains) {
      if (!known(chain)) return std::nullopt;
    }
    const auto parts = std::any_of(t_.chains.begin(), t_.chains.end(),
                                   [](const Chain& chain) { return chain.next.size() > 1; });
    return parts ? bounded() : exact();
  }

 private:
  static std::int64_t whole_plants(const sheet::LastCount& count) {
    return static_cast<std::int64_t>(count.plants);
  }
  std::int64_t whole(sheet::CellId cell) const {
    return static_cast<std::int64_t>(sheet::round_up(row_.value(cell)));
  }

  bool known(const Chain& chain) const {
    return !std::isnan(row_.value(chain.needed)) &&
           !std::isnan(row_.value(row_.cells(chain.stages.front()).plants)) && rate(chain);
  }

  /// What comes through the stages from place `first` of a chain.
  std::optional<Rate> rate(const Chain& chain, std::size_t first = 0) const {
    auto out = Rate::known(1);
    for (std::size_t i = first; i < chain.stages.size(); ++i) {
      const sheet::StageCells& c = row_.cells(chain.stages[i]);
      if (c.loss == sheet::no_cell) continue;
      const auto one = sheet::survival_rate(row_.value(c.survival), row_.value(c.evidence.good, 0),
                                            row_.value(c.evidence.seen, 0));
      if (!one) return std::nullopt;
      out = *out * *one;
    }
    return out;
  }

  const Chain& chain_that_ends_with(StageId s) const {
    return *std::find_if(t_.chains.begin(), t_.chains.end(),
                         [&](const Chain& chain) { return chain.stages.back() == s; });
  }

  std::optional<Counts> at_start(const Chain& chain) const {
    const StageId first = chain.stages.front();
    const std::vector<StageId>& from = row_.stage(first).takes;
    if (from.empty()) return Counts::certain(whole(row_.cells(first).plants));
    std::vector<Counts> parts;
    for (const StageId one : from) {
      auto counts = at_end(chain_that_ends_with(one));
      if (!counts) return std::nullopt;
      parts.push_back(std::move(*counts));
    }
    return Counts::smallest(parts);
  }

  std::optional<Counts> at_end(const Chain& chain) const {
    const auto seen = last_count(row_, chain);
    if (seen && seen->place + 1 == chain.stages.size()) return Counts::certain(whole_plants(*seen));
    const auto start = seen ? Counts::certain(whole_plants(*seen)) : at_start(chain);
    if (!start) return std::nullopt;
    Counts counts = start->thinned(*rate(chain, seen ? seen->place + 1 : 0));
    const StageId last = chain.stages.back();
    if (row_.stage(last).discards_surplus) {
      const Counts kept[] = {counts, Counts::certain(whole(chain.needed))};
      counts = Counts::smallest(kept);
    }
    const sheet::CellId yield = row_.cells(last).yield;
    return yield == sheet::no_cell ? counts : counts.multiplied(row_.value(yield));
  }

  std::optional<Prospects> exact() const {
    const auto last = std::find_if(t_.chains.begin(), t_.chains.end(),
                                   [](const Chain& chain) { return chain.next.empty(); });
    const auto counts = at_end(*last);
    if (!counts) return std::nullopt;
    Prospects out;
    out.expected = counts->mean();
    out.low = counts->quantile(0.05).value_or(0);
    out.high = counts->quantile(0.95).value_or(0);
    out.chance = counts->at_least(whole(t_.ordered));
    return out;
  }

  /// That a chain which starts with its planned number, or with what was counted, brings enough.
  double chance_of(const Chain& chain) const {
    const auto seen = last_count(row_, chain);
    if (seen && seen->place + 1 == chain.stages.size()) {
      const double each = row_.value(row_.cells(chain.stages.back()).yield, 1);
      return seen->plants >= row_.value(chain.needed) * each ? 1 : 0;
    }
    const Counts start = Counts::certain(seen ? whole_plants(*seen)
                                              : whole(row_.cells(chain.stages.front()).plants));
    return start.thinned(*rate(chain, seen ? seen->place + 1 : 0)).at_least(whole(chain.needed));
  }

  /// Every chain that starts with its planned number and brings what is needed is one way to reach
  /// the order.
  std::optional<Prospects> bounded() const {
    Prospects out;
    out.bound = true;
    out.chance = 1;
    for (const Chain& chain : t_.chains) {
      out.chance *= chance_of(chain);
      if (chain.next.empty()) out.expected = row_.value(row_.cells(chain.stages.back()).left);
    }
    return out;
  }

  const sheet::Row row_;
  const sheet::Template& t_;
};

}  // namespace

std::optional<Prospects> prospects(const Plan& plan, const BatchPlan& batch) {
  return Prospector(plan.row_of(batch)).run();
}

}  // namespace budwood::plan
