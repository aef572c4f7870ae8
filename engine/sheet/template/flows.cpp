#include "sheet/template/flows.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::sheet {

namespace {

class FlowFinder {
 public:
  FlowFinder(const Template& t, DailyTotals& totals) : t_(t), totals_(totals) {}

  std::vector<Flow> run() {
    for (std::size_t s = 0; s < t_.stages.size(); ++s) {
      add_space(s);
      for (std::size_t w = 0; w < t_.stages[s].works.size(); ++w) add_work(s, w);
    }
    return std::move(flows_);
  }

 private:
  Flow of_stage(std::size_t s, CellId amount, const Resource& resource) {
    Flow flow;
    flow.resource = totals_.number_of(resource);
    flow.amount = amount;
    flow.start = t_.stages[s].start;
    flow.days = t_.stages[s].days;
    return flow;
  }

  /// Plants stand in a room until they go on, waiting days included.
  void add_space(std::size_t s) {
    const language::Stage& stage = t_.protocol.stages[s];
    const std::vector<CellId>& cells = t_.stages[s].space;
    if (stage.room.empty()) return;
    std::vector<CellId> ends;
    for (std::size_t i = 0; i < t_.stages.size(); ++i) {
      const std::vector<StageId>& takes = t_.protocol.stages[i].takes;
      const auto from = static_cast<std::int32_t>(s);
      if (std::find(takes.begin(), takes.end(), from) != takes.end()) {
        ends.push_back(t_.stages[i].start);
      }
    }
    if (ends.empty()) ends.push_back(t_.ready);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const language::Space& space = stage.space[i];
      const units::Dimension dimension = t_.cell(cells[i]).type.dimension;
      Flow flow = of_stage(s, cells[i], {Resource::Kind::room, stage.room, dimension, space.noun});
      flow.back = true;
      flow.ends = ends;
      flow.from = space.from - 1;
      if (i + 1 < cells.size()) flow.to = stage.space[i + 1].from - 1;
      flows_.push_back(std::move(flow));
    }
  }

  void add_work(std::size_t s, std::size_t w) {
    const language::Work& work = t_.protocol.stages[s].works[w];
    const WorkCells& cells = t_.stages[s].works[w];
    if (cells.time != no_cell) {
      Flow flow =
          of_stage(s, cells.time, {Resource::Kind::crew, work.crew, units::time, std::string()});
      flow.work = &work;
      flows_.push_back(std::move(flow));
    }
    for (std::size_t u = 0; u < work.uses.size(); ++u) {
      const language::Supply& supply = t_.protocol.supplies[work.uses[u].supply];
      Flow flow =
          of_stage(s, cells.uses[u].amount,
                   {Resource::Kind::supply, supply.name, supply.unit.dimension, supply.unit.noun});
      flow.work = &work;
      flow.back = supply.reused;
      if (flow.back) {
        const Loan loan = loan_of(t_, work.uses[u]);
        flow.ends = {loan.date};
        flow.days_after = loan.days_after;
      }
      flows_.push_back(std::move(flow));
    }
  }

  const Template& t_;
  DailyTotals& totals_;
  std::vector<Flow> flows_;
};

}  // namespace

Loan loan_of(const Template& t, const language::Use& use) {
  if (use.until < 0) return {t.ready, 1};
  return {t.stages[use.until].end, 0};
}

std::vector<Flow> flows_of(const Template& t, DailyTotals& totals) {
  return FlowFinder(t, totals).run();
}

std::vector<CellId> cells_of(const Flow& flow) {
  std::vector<CellId> cells = flow.ends;
  cells.insert(cells.end(), {flow.amount, flow.start, flow.days});
  return cells;
}

void pour(const Flow& flow, const calendar::WorkingDays& working, const RowView& value, int sign,
          DailyTotals& totals) {
  const double amount = value(flow.amount);
  const double start = value(flow.start);
  // Without a start there are no other dates either.
  if (std::isnan(start) || !(std::abs(amount) <= DailyTotals::most)) {
    totals.miss(flow.resource, sign);
    return;
  }
  if (amount == 0) return;
  Day back = calendar::first_day;
  for (const CellId date : flow.ends) {
    back = std::max(back, static_cast<Day>(value(date)) + flow.days_after);
  }
  const auto take = [&](Day day) {
    const Day end = flow.back ? std::max(back, day + 1) : day + 1;
    if (sign > 0) {
      totals.take(flow.resource, day, end, amount);
    } else {
      totals.give_back(flow.resource, day, end, amount);
    }
  };
  const auto first = static_cast<Day>(start);
  if (flow.work == nullptr) {
    // Plants that have gone on, or wait to, are not spaced any more.
    const auto days = static_cast<Day>(value(flow.days));
    if (flow.to && *flow.to < days) back = first + *flow.to;
    if (flow.from == 0 || flow.from < days) take(first + flow.from);
    return;
  }
  const auto length = static_cast<int>(value(flow.days));
  for_each_due_day(flow.work->timing, length, [&](int due) {
    const auto day = work_day(*flow.work, first + due, reach_of(first, length), working);
    if (day) take(*day);
  });
}

}  // namespace budwood::sheet
