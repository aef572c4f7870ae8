#include "sheet/counts/assurances.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "sheet/counts/prospects.hpp"

namespace budwood::sheet {

namespace {

using Levels = std::vector<double>;

double normal_quantile(double share) {
  return boost::math::quantile(boost::math::normal(), std::clamp(share, 1e-300, 1 - 1e-16));
}
double normal_below(double z) {
  return boost::math::cdf(boost::math::normal(), z);
}

class Search {
 public:
  Search(const ProgramContext& context, std::span<const double> given)
      : context_(context), t_(*context.layout), values_(t_.cells.size()) {
    for (std::size_t i = 0; i < given.size(); ++i) {
      values_.set_same(t_.assurances.given[i], given[i]);
    }
    for (const Chain& chain : t_.chains) {
      if (loses(t_, chain)) losing_.push_back(&chain);
    }
  }

  Levels run() {
    const std::size_t chains = losing_.size();
    sure_ = values_.at(t_.sure, 0);
    if (!(sure_ > 0 && sure_ < 1)) return Levels(chains, sure_ > 0 ? sure_ : 0.0);
    const double root = statistics::assurance_of_each(sure_, static_cast<int>(chains));
    Levels levels(chains, root);
    if (t_.assurances.tried.empty() || !enough(levels)) return levels;
    levels = Levels(chains, common_level(root));
    trim(levels);
    return levels;
  }

 private:
  /// The values of the batch at some levels; its chance.
  double chance_at(const Levels& levels) {
    for (std::size_t i = 0; i < levels.size(); ++i) {
      values_.set_same(t_.assurances.levels[i], levels[i]);
    }
    for (const CellId id : t_.assurances.tried) {
      values_.set_same(id, evaluator_.run(t_.program(id), context_, values_, 0));
    }
    return chance(t_, values_, 0, {}).value_or(0);
  }

  bool enough(const Levels& levels) { return chance_at(levels) >= sure_ * (1 - 1e-12); }

  /// The lowest level, the same for all chains, that is enough, to within less than a plant. Seen
  /// as places on a normal curve, levels and chances lie nearly on a line.
  double common_level(double root) {
    constexpr double lowest = -3;
    constexpr double close = 1e-4;
    const double aim = normal_quantile(sure_);
    const auto miss = [&](double z) {
      const double reached = chance_at(Levels(losing_.size(), normal_below(z)));
      return std::clamp(normal_quantile(reached) - aim, -8.0, 8.0);
    };
    double high = normal_quantile(root);
    double above = miss(high);
    double low = std::min(high - 2, -1.0);
    double below = miss(low);
    if (below >= 0) return normal_below(std::min(low, lowest));
    for (int step = 0; step < 30 && high - low > close; ++step) {
      // Every third step halves, so that a bend in the line costs little.
      const double share = step % 3 == 2 ? 0.5 : std::clamp(-below / (above - below), 0.02, 0.98);
      const double middle = low + share * (high - low);
      const double at = miss(middle);
      (at >= 0 ? high : low) = middle;
      (at >= 0 ? above : below) = at;
    }
    return normal_below(high);
  }

  /// Lets each chain, the last one first, start one plant less as long as the chance is enough.
  void trim(Levels& levels) {
    for (std::size_t i = levels.size(); i-- > 0;) {
      while (const auto lower = one_less(levels, i)) {
        Levels trial = levels;
        trial[i] = *lower;
        if (!enough(trial)) break;
        levels = std::move(trial);
      }
    }
  }

  /// The level at which a chain starts one plant less; nothing where that starts no fewer.
  std::optional<double> one_less(const Levels& levels, std::size_t i) {
    chance_at(levels);
    const Chain& chain = *losing_[i];
    const auto rate = chain_rate(t_, values_, 0, chain);
    const auto needed = static_cast<std::int64_t>(round_up(values_.at(chain.needed, 0)));
    if (!rate || needed <= 0) return std::nullopt;
    const auto start = statistics::smallest_start(needed, *rate, levels[i]);
    if (!start || *start <= needed) return std::nullopt;
    const CellId plants = t_.stages[chain.stages.front()].plants;
    if (values_.at(plants, 0) != static_cast<double>(*start)) return std::nullopt;
    const double lower = statistics::predicted_at_least(*start - 1, needed, *rate);
    return lower > 0 && lower < levels[i] ? std::optional(lower) : std::nullopt;
  }

  const ProgramContext& context_;
  const Template& t_;
  Columns values_;
  Evaluator evaluator_;
  std::vector<const Chain*> losing_;
  double sure_ = 0;
};

/// Whether a cell can be tried: it looks at other cells alone.
bool can_be_tried(const Template& t, CellId id) {
  if (id >= t.cells.size() || t.cell(id).kind != Cell::Kind::formula) return false;
  return looks_at_cells_alone(t.program(id));
}

/// What the chance of a batch is worked out from.
std::vector<CellId> cells_behind_chance(const Template& t) {
  std::vector<CellId> out{t.ordered, t.sure, t.spare};
  for (const Chain& chain : t.chains) {
    out.push_back(chain.needed);
    out.push_back(t.stages[chain.stages.front()].plants);
    for (const StageId s : chain.stages) {
      const StageCells& cells = t.stages[s];
      for (const CellId one :
           {cells.survival, cells.kept, cells.yield, cells.evidence.good, cells.evidence.seen,
            cells.evidence.batches, cells.evidence.likeness}) {
        if (one != no_cell) out.push_back(one);
      }
    }
  }
  return out;
}

/// What is worked out at every trial: what rests on the levels and is rested on by the chance.
void find_trial(Template& t, std::span<const CellId> order) {
  std::vector<char> moved(t.cells.size() + 1, 0);
  std::vector<char> wanted(t.cells.size() + 1, 0);
  for (const CellId level : t.assurances.levels) moved[level] = 1;
  const auto uses_of = [&](CellId id) -> const std::vector<CellId>& {
    return id < t.cells.size() ? t.cells[id].uses : t.dates.uses;
  };
  const auto is_date = [&](CellId id) {
    return id < t.cells.size() && t.cells[id].kind == Cell::Kind::date;
  };
  for (const CellId id : order) {
    const auto& uses = uses_of(id);
    if (is_date(id) ? moved[t.cells.size()] != 0
                    : std::any_of(uses.begin(), uses.end(),
                                  [&](CellId used) { return moved[used] != 0; })) {
      moved[id] = 1;
    }
  }
  for (const CellId id : cells_behind_chance(t)) wanted[id] = 1;
  for (auto id = order.rbegin(); id != order.rend(); ++id) {
    if (!wanted[*id] || !moved[*id]) continue;
    if (is_date(*id)) wanted[t.cells.size()] = 1;
    for (const CellId used : uses_of(*id)) wanted[used] = 1;
  }
  std::vector<CellId>& tried = t.assurances.tried;
  std::vector<CellId>& given = t.assurances.given;
  const auto is_level = [&](CellId id) {
    const auto& levels = t.assurances.levels;
    return std::find(levels.begin(), levels.end(), id) != levels.end();
  };
  for (const CellId id : order) {
    if (!wanted[id] || is_level(id)) continue;
    (moved[id] ? tried : given).push_back(id);
  }
  // Losses that follow dates which follow counts are not tried.
  const bool possible =
      std::all_of(tried.begin(), tried.end(), [&](CellId id) { return can_be_tried(t, id); });
  if (!possible) {
    tried.clear();
    given = {t.sure};
  }
}

}  // namespace

std::vector<double> assurances(const ProgramContext& context, std::span<const double> given) {
  return Search(context, given).run();
}

void complete_assurances(Template& t, std::span<const CellId> order) {
  if (t.assurances.levels.empty()) return;
  find_trial(t, order);
  for (std::size_t i = 0; i < t.assurances.levels.size(); ++i) {
    Cell& cell = t.cells[t.assurances.levels[i]];
    cell.first = static_cast<std::uint32_t>(t.code.size());
    cell.uses = t.assurances.given;
    for (const CellId id : cell.uses) {
      Instruction step;
      step.code = Instruction::Code::cell;
      step.index = id;
      t.code.push_back(step);
    }
    Instruction last;
    last.code = Instruction::Code::assurance;
    last.index = static_cast<std::uint32_t>(cell.uses.size());
    last.value = static_cast<double>(i);
    t.code.push_back(last);
    cell.count = static_cast<std::uint32_t>(t.code.size()) - cell.first;
  }
}

}  // namespace budwood::sheet
