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
  Prospector(const sheet::Sheet& sheet, std::size_t row)
      : sheet_(sheet), t_(sheet.layout()), row_(row) {}

  std::optional<Prospects> run() {
    for (const Chain& chain : t_.chains) {
      if (!known(chain)) return std::nullopt;
    }
    const auto parts = std::any_of(t_.chains.begin(), t_.chains.end(),
                                   [](const Chain& chain) { return chain.next.size() > 1; });
    return parts ? bounded() : exact();
  }

 private:
  double value(sheet::CellId cell) const { return sheet_.value(cell, row_); }
  static std::int64_t whole_plants(const sheet::LastCount& count) {
    return static_cast<std::int64_t>(count.plants);
  }
  std::int64_t whole(sheet::CellId cell) const {
    return static_cast<std::int64_t>(sheet::round_up(value(cell)));
  }
  const language::Stage& stage(std::int32_t s) const {
    return t_.protocol.stages[static_cast<std::size_t>(s)];
  }
  const sheet::StageCells& cells(std::int32_t s) const {
    return t_.stages[static_cast<std::size_t>(s)];
  }

  bool known(const Chain& chain) const {
    return !std::isnan(value(chain.needed)) &&
           !std::isnan(value(cells(chain.stages.front()).plants)) && rate(chain);
  }

  /// What comes through the stages from place `first` of a chain.
  std::optional<Rate> rate(const Chain& chain, std::size_t first = 0) const {
    auto out = Rate::known(1);
    for (std::size_t i = first; i < chain.stages.size(); ++i) {
      const sheet::StageCells& c = cells(chain.stages[i]);
      if (c.loss == sheet::no_cell) continue;
      const bool counted = c.evidence.seen != sheet::no_cell;
      const auto one = sheet::survival_rate(value(c.survival), counted ? value(c.evidence.good) : 0,
                                            counted ? value(c.evidence.seen) : 0);
      if (!one) return std::nullopt;
      out = *out * *one;
    }
    return out;
  }

  const Chain& chain_that_ends_with(std::int32_t s) const {
    return *std::find_if(t_.chains.begin(), t_.chains.end(),
                         [&](const Chain& chain) { return chain.stages.back() == s; });
  }

  std::optional<Counts> at_start(const Chain& chain) const {
    const std::int32_t first = chain.stages.front();
    const std::vector<std::int32_t>& from = stage(first).takes;
    if (from.empty()) return Counts::certain(whole(cells(first).plants));
    std::vector<Counts> parts;
    for (const std::int32_t one : from) {
      auto counts = at_end(chain_that_ends_with(one));
      if (!counts) return std::nullopt;
      parts.push_back(std::move(*counts));
    }
    return Counts::smallest(parts);
  }

  std::optional<Counts> at_end(const Chain& chain) const {
    const auto seen = last_count(sheet_, row_, chain);
    if (seen && seen->place + 1 == chain.stages.size()) return Counts::certain(whole_plants(*seen));
    const auto start = seen ? Counts::certain(whole_plants(*seen)) : at_start(chain);
    if (!start) return std::nullopt;
    Counts counts = start->thinned(*rate(chain, seen ? seen->place + 1 : 0));
    const std::int32_t last = chain.stages.back();
    if (stage(last).discards_surplus) {
      const Counts kept[] = {counts, Counts::certain(whole(chain.needed))};
      counts = Counts::smallest(kept);
    }
    if (cells(last).yield == sheet::no_cell) return counts;
    return counts.multiplied(value(cells(last).yield));
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
    const auto seen = last_count(sheet_, row_, chain);
    if (seen && seen->place + 1 == chain.stages.size()) {
      const sheet::CellId yield = cells(chain.stages.back()).yield;
      const double each = yield == sheet::no_cell ? 1 : value(yield);
      return seen->plants >= value(chain.needed) * each ? 1 : 0;
    }
    const Counts start =
        Counts::certain(seen ? whole_plants(*seen) : whole(cells(chain.stages.front()).plants));
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
      if (chain.next.empty()) out.expected = value(cells(chain.stages.back()).left);
    }
    return out;
  }

  const sheet::Sheet& sheet_;
  const sheet::Template& t_;
  std::size_t row_;
};

}  // namespace

std::optional<Prospects> prospects(const Plan& plan, const BatchPlan& batch) {
  return Prospector(plan.sheet_of(batch), batch.row).run();
}

}  // namespace budwood::plan
