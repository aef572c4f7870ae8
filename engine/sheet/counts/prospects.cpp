#include "sheet/counts/prospects.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::sheet {

namespace {

using statistics::Counts;
using statistics::Rate;

/// Plants that are there, and those that may come besides.
using Known = Coming;

class Prospector {
 public:
  Prospector(const Template& t, const Columns& columns, std::size_t row, const GivenValues& counted)
      : t_(t), columns_(columns), row_(row), counted_(counted) {}

  /// Whether every count has a value.
  bool known() const {
    return std::all_of(t_.chains.begin(), t_.chains.end(), [&](const Chain& chain) {
      return !std::isnan(value(chain.needed)) &&
             !std::isnan(value(cells(chain.stages.front()).plants)) && rate(chain);
    });
  }

  /// Whether plants go two ways somewhere.
  bool parts() const {
    return std::any_of(t_.chains.begin(), t_.chains.end(),
                       [](const Chain& chain) { return chain.next.size() > 1; });
  }

  /// At the end of the last chain; `picked` are there whatever comes.
  std::optional<Known> delivered() const { return at_end(last_chain()); }

  double expected() const { return value(cells(last_chain().stages.back()).left); }
  std::int64_t ordered() const { return whole(t_.ordered); }
  /// What is ordered and what is to spare.
  std::int64_t wanted() const { return whole(last_chain().needed); }

  /// Every chain that starts with its planned number and brings what is needed is one way to reach
  /// the order.
  double least_chance() const {
    double out = 1;
    for (const Chain& chain : t_.chains) out *= chance_of(chain);
    return out;
  }

 private:
  double value(CellId cell) const { return columns_.at(cell, row_); }
  double value(CellId cell, double otherwise) const {
    return cell == no_cell ? otherwise : value(cell);
  }
  const StageCells& cells(StageId s) const { return t_.stages[s]; }
  std::int64_t whole(CellId cell) const { return static_cast<std::int64_t>(round_up(value(cell))); }
  static std::int64_t whole_plants(const LastCount& count) {
    return static_cast<std::int64_t>(count.plants);
  }
  std::optional<Rate> rate(const Chain& chain, std::size_t first = 0) const {
    return chain_rate(t_, columns_, row_, chain, first);
  }

  const Chain& last_chain() const {
    return *std::find_if(t_.chains.begin(), t_.chains.end(),
                         [](const Chain& chain) { return chain.next.empty(); });
  }
  const Chain& chain_that_ends_with(StageId s) const {
    return *std::find_if(t_.chains.begin(), t_.chains.end(),
                         [&](const Chain& chain) { return chain.stages.back() == s; });
  }

  std::optional<Counts> at_start(const Chain& chain) const {
    const StageId first = chain.stages.front();
    const std::vector<StageId>& from = t_.protocol.stages[first].takes;
    if (from.empty()) return Counts::certain(whole(cells(first).plants));
    std::vector<Counts> parts;
    for (const StageId one : from) {
      auto counts = at_end(chain_that_ends_with(one));
      if (!counts) return std::nullopt;
      parts.push_back(std::move(counts->coming));
    }
    return Counts::smallest(parts);
  }

  /// What goes on from a stage of which pickings or grades were counted. Of those that were not
  /// picked when the last of the counted pickings was over, each is in a later one by itself.
  Known after_portions(const Chain& chain, const LastCount& seen) const {
    const StageCells& c = cells(chain.stages[seen.place]);
    if (seen.graded) {
      const double left = value(c.left) / value(c.yield, 1);
      return {Counts::certain(std::llround(left))};
    }
    double picked = 0;
    double share = 0;
    double later = 0;
    for (std::size_t i = 0; i < c.picked.size(); ++i) {
      const double one = c.pick_shares.empty() ? 1 : value(c.pick_shares[i]);
      if (i < seen.pickings) picked += value(c.picked[i]);
      (i < seen.pickings ? share : later) += one;
    }
    const auto there = static_cast<std::int64_t>(std::llround(picked));
    const auto sorted = Rate::known(std::clamp(value(c.kept) / (share + later), 0.0, 1.0));
    if (!(later > 0)) return {Counts::certain(there).thinned(*sorted)};
    const double from =
        value(seen.place == 0 ? c.plants : cells(chain.stages[seen.place - 1]).left);
    const auto comes = survival_of(columns_, row_, c);
    const double of_rest = later / std::max(1 - value(c.survival) * share, 1e-12);
    const auto coming = *comes * *Rate::known(std::clamp(of_rest, 0.0, 1.0)) * *sorted;
    const std::int64_t rest = std::max<std::int64_t>(0, std::llround(from) - there);
    return {Counts::certain(rest).thinned(coming),
            std::llround(static_cast<double>(there) * sorted->mean())};
  }

  /// Once the stage at the place is over.
  Known after(const Chain& chain, const LastCount& seen) const {
    return seen.partly ? after_portions(chain, seen) : Known{Counts::certain(whole_plants(seen))};
  }

  std::optional<Known> at_end(const Chain& chain) const {
    const auto seen = last_count(t_, counted_, chain);
    if (seen && seen->place + 1 == chain.stages.size() && !seen->partly) return after(chain, *seen);
    std::optional<Known> out;
    if (seen) {
      out = after(chain, *seen);
    } else if (auto start = at_start(chain)) {
      out = Known{std::move(*start)};
    }
    if (!out) return std::nullopt;
    out->coming = out->coming.thinned(*rate(chain, seen ? seen->place + 1 : 0));
    const StageId last = chain.stages.back();
    if (t_.protocol.stages[last].discards_surplus) {
      const Counts kept[] = {out->coming, Counts::certain(whole(chain.needed))};
      out->coming = Counts::smallest(kept);
    }
    if (const CellId yield = cells(last).yield; yield != no_cell) {
      auto many = out->coming.multiplied(value(yield));
      if (!many) return std::nullopt;
      out->coming = std::move(*many);
    }
    return out;
  }

  /// That a chain which starts with its planned number, or with what was counted, brings enough.
  double chance_of(const Chain& chain) const {
    const auto seen = last_count(t_, counted_, chain);
    if (seen && seen->place + 1 == chain.stages.size() && !seen->partly) {
      const double each = value(cells(chain.stages.back()).yield, 1);
      return seen->plants >= value(chain.needed) * each ? 1 : 0;
    }
    Known out = seen ? after(chain, *seen)
                     : Known{Counts::certain(whole(cells(chain.stages.front()).plants))};
    out.coming = out.coming.thinned(*rate(chain, seen ? seen->place + 1 : 0));
    return out.at_least(whole(chain.needed));
  }

  const Template& t_;
  const Columns& columns_;
  const std::size_t row_;
  const GivenValues& counted_;
};

}  // namespace

std::optional<Prospects> prospects(const Row& row) {
  const Prospector one(row.layout(), row.sheet().columns(), row.number(), row.facts().counted);
  if (!one.known()) return std::nullopt;
  Prospects out;
  out.expected = one.expected();
  out.bound = one.parts();
  if (out.bound) {
    out.chance = one.least_chance();
    return out;
  }
  const auto counts = one.delivered();
  if (!counts) return std::nullopt;
  // What was counted may leave fewer than the plan of what follows takes for granted.
  if (!row.facts().counted.empty()) out.expected = std::min(out.expected, counts->mean());
  out.low = counts->quantile(0.05);
  out.high = counts->quantile(0.95);
  out.chance = counts->at_least(one.ordered());
  return out;
}

std::optional<Coming> coming_of(const Row& row) {
  const Prospector one(row.layout(), row.sheet().columns(), row.number(), row.facts().counted);
  if (!one.known() || one.parts()) return std::nullopt;
  return one.delivered();
}

std::optional<double> chance(const Template& t, const Columns& columns, std::size_t row,
                             const GivenValues& counted) {
  const Prospector one(t, columns, row, counted);
  if (!one.known()) return std::nullopt;
  if (one.parts()) return one.least_chance();
  const auto counts = one.delivered();
  return counts ? std::optional(counts->at_least(one.wanted())) : std::nullopt;
}

std::optional<Rate> survival_of(const Columns& columns, std::size_t row, const StageCells& cells) {
  const auto value = [&](CellId cell) { return cell == no_cell ? 0 : columns.at(cell, row); };
  if (cells.loss == no_cell) return Rate::known(1);
  const Evidence& count = cells.evidence;
  return survival_rate(value(cells.survival), {value(count.good), value(count.seen),
                                               value(count.batches), value(count.likeness)});
}

std::optional<statistics::Rate> chain_rate(const Template& t, const Columns& columns,
                                           std::size_t row, const Chain& chain, std::size_t first) {
  const auto value = [&](CellId cell) { return cell == no_cell ? 0 : columns.at(cell, row); };
  auto out = Rate::known(1);
  for (std::size_t i = first; i < chain.stages.size(); ++i) {
    const StageCells& c = t.stages[chain.stages[i]];
    if (c.kept != no_cell) {
      const auto kept = Rate::known(value(c.kept));
      if (!kept) return std::nullopt;
      out = *out * *kept;
    }
    const auto one = survival_of(columns, row, c);
    if (!one) return std::nullopt;
    out = *out * *one;
  }
  return out;
}

bool loses(const Template& t, const Chain& chain) {
  return std::any_of(chain.stages.begin(), chain.stages.end(), [&](StageId s) {
    return t.stages[s].loss != no_cell || t.stages[s].kept != no_cell;
  });
}

}  // namespace budwood::sheet
