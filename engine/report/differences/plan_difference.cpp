#include "report/differences/plan_difference.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "plan/demand/demand.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "sheet/counts/prospects.hpp"

namespace budwood::report {

namespace {

using OrdersByBatch = std::vector<std::vector<const plan::WorkOrder*>>;
using OrderKey = std::tuple<language::StageId, language::WorkId, std::uint16_t, std::uint16_t>;

OrdersByBatch orders_by_batch(const plan::Plan& plan) {
  OrdersByBatch out(plan.batches.size());
  for (const plan::WorkOrder& order : plan.orders) out[order.batch].push_back(&order);
  return out;
}

OrderKey key_of(const plan::WorkOrder& order) {
  return {order.stage, order.work, order.occurrence, order.part};
}

/// A value of one side of a batch; nothing when it is not planned there.
double value_of(const plan::Plan& plan, const plan::BatchPlan* batch, sheet::CellId cell) {
  if (batch == nullptr || cell == sheet::no_cell) return std::nan("");
  return plan.row_of(*batch).value(cell);
}

double first_day(const plan::Plan& plan, const plan::BatchPlan* batch) {
  double first = std::nan("");
  if (batch == nullptr) return first;
  for (const sheet::StageCells& cells : plan.sheet_of(*batch).layout().stages) {
    first = std::fmin(first, value_of(plan, batch, cells.start));
  }
  return first;
}

class Comparer {
 public:
  Comparer(const Comparison& both, const Filter& filter)
      : both_(both),
        filter_(filter),
        before_(orders_by_batch(both.before)),
        after_(orders_by_batch(both.after)),
        settings_before_(both.before, filter),
        settings_after_(both.after, filter) {}

  /// Batches by their values alone, which can be held against each other whatever they follow.
  PlanDifference run_values() {
    PlanDifference out;
    for (const BatchPair& pair : pairs_of(both_)) {
      BatchDifference batch{pair, loses_dates(pair) ? lost_dates(pair) : values_of(pair), {}, {}};
      if (batch.values.empty()) {
        ++out.same;
      } else {
        out.batches.push_back(std::move(batch));
      }
    }
    add_messages(out.messages);
    return out;
  }

  PlanDifference run() {
    PlanDifference out;
    for (const BatchPair& pair : pairs_of(both_)) {
      if (filter_.batch && *pair.id != *filter_.batch) continue;
      if (loses_dates(pair)) {
        out.batches.push_back({pair, lost_dates(pair), {}, {}});
        continue;
      }
      BatchDifference batch{
          pair, values_of(pair), works_of(pair),
          setting_differences(both_, pair, settings_before_, settings_after_, filter_)};
      if (batch.values.empty() && batch.works.empty() && batch.settings.empty()) {
        ++out.same;
      } else {
        out.batches.push_back(std::move(batch));
      }
    }
    add_makings(out.makings);
    add_messages(out.messages);
    return out;
  }

 private:
  const sheet::Template& layout_of(const BatchPair& pair) const {
    return pair.before != nullptr ? both_.before.sheet_of(*pair.before).layout()
                                  : both_.after.sheet_of(*pair.after).layout();
  }

  /// A value of one side, by its own protocol: the other side may follow another one.
  template <typename Choose>
  static double value_on(const plan::Plan& plan, const plan::BatchPlan* batch, Choose choose) {
    return batch == nullptr || !batch->raised
               ? std::nan("")
               : value_of(plan, batch, choose(plan.sheet_of(*batch).layout()));
  }

  /// How many are started in the stage of a name.
  static auto started_in(const std::string& name) {
    return [name](const sheet::Template& t) {
      const language::StageId stage = t.protocol.stages.find(name);
      const bool starts = stage.known() && t.protocol.stages[stage].takes.empty();
      return starts ? t.stages[stage].plants : sheet::no_cell;
    };
  }

  /// What is expected at the end of each chain that leads no further.
  static std::vector<sheet::CellId> expected_cells(const sheet::Template& t) {
    std::vector<sheet::CellId> out;
    for (const sheet::Chain& chain : t.chains) {
      if (chain.next.empty()) out.push_back(t.stages[chain.stages.back()].left);
    }
    return out;
  }

  static std::optional<plan::DemandView> demand_on(const plan::Plan& plan,
                                                   const plan::BatchPlan* batch) {
    return batch == nullptr ? std::nullopt : plan::demand_of(plan, *batch);
  }

  /// Which number is best, and what the planned one costs, of a batch of which one cannot know how
  /// many will be wanted.
  void add_demand(const BatchPair& pair, Differences& out) const {
    const auto before = demand_on(both_.before, pair.before);
    const auto after = demand_on(both_.after, pair.after);
    const auto add = [&](std::string name, std::string title, auto read) {
      add_difference(out,
                     {"batch", *pair.id, std::move(name), std::move(title), "",
                      before ? read(*before) : no_reading(), after ? read(*after) : no_reading()});
    };
    // Where trays are filled, several numbers come to the same plants.
    const auto add_case = [&](const char* name, const char* title, auto which) {
      const auto starts = [&](const std::optional<plan::DemandView>& one) {
        return one && which(*one) ? which(*one)->starts
                                  : std::vector<std::pair<language::StageId, double>>{};
      };
      if (before && after && starts(before) == starts(after)) return;
      add(name, title, [&](const plan::DemandView& one) {
        return which(one) ? plants_reading(static_cast<double>(which(one)->plants)) : no_reading();
      });
    };
    add_case(
        "demand.best", "best on average",
        [](const plan::DemandView& one) -> const auto& { return one.best; });
    add_case(
        "demand.sure", "sure number",
        [](const plan::DemandView& one) -> const auto& { return one.sure; });
    add("demand.lost", "lost on average", [&](const plan::DemandView& one) {
      return money_reading(one.planned.cost, currency_of(both_.before));
    });
  }

  Differences values_of(const BatchPair& pair) const {
    Differences out;
    const sheet::Template& t = layout_of(pair);
    const auto add = [&](std::string name, std::string title, Reading before, Reading after) {
      add_difference(out, {"batch", *pair.id, std::move(name), std::move(title), "",
                           std::move(before), std::move(after)});
    };
    const auto add_value = [&](std::string name, std::string title, auto reading, auto choose) {
      add(std::move(name), std::move(title), reading(value_on(both_.before, pair.before, choose)),
          reading(value_on(both_.after, pair.after, choose)));
    };
    add_value(t.cell(t.ready).name, "ready", date_reading,
              [](const sheet::Template& one) { return one.ready; });
    add("first_day", "first day", date_reading(first_day(both_.before, pair.before)),
        date_reading(first_day(both_.after, pair.after)));
    const auto ordered = [](const plan::Plan& plan, const plan::BatchPlan* batch) {
      return batch == nullptr
                 ? no_reading()
                 : plants_reading(static_cast<double>(plan.facts_of(*batch).plants.value));
    };
    add(t.cell(t.ordered).name, "plants ordered", ordered(both_.before, pair.before),
        ordered(both_.after, pair.after));
    const auto taken = [](const plan::BatchPlan* batch) {
      return batch == nullptr ? no_reading() : plants_reading(batch->from_stock);
    };
    add("from_stock", "ready already", taken(pair.before), taken(pair.after));
    for (const auto& [name, title] : first_stages(pair)) {
      add_value(name + ".plants", "started in " + title, plants_reading, started_in(name));
    }
    const std::vector<sheet::CellId> expected = expected_cells(t);
    for (std::size_t i = 0; i < expected.size(); ++i) {
      add_value(t.cell(expected[i]).name, "plants expected", plants_reading,
                [i](const sheet::Template& one) {
                  const std::vector<sheet::CellId> cells = expected_cells(one);
                  return i < cells.size() ? cells[i] : sheet::no_cell;
                });
    }
    add_chance(pair, out);
    add_demand(pair, out);
    add_value(t.cell(t.hours).name, "people's time", hours_reading,
              [](const sheet::Template& one) { return one.hours; });
    return out;
  }

  /// A batch that has no dates any more has no work either; that alone is said.
  static bool loses_dates(const BatchPair& pair) {
    return pair.before != nullptr && pair.after != nullptr && pair.before->dated &&
           !pair.after->dated;
  }

  Differences lost_dates(const BatchPair& pair) const {
    const auto first = static_cast<calendar::Day>(first_day(both_.before, pair.before));
    const calendar::Day ready = *both_.before.row_of(*pair.before).ready();
    return {{"batch", *pair.id, "dates", "dates", "",
             text_reading("from " + calendar::iso_date(first) + " to " + calendar::iso_date(ready)),
             text_reading(pair.after->raised ? "none, so that it has no work; the conflict says why"
                                             : "none: all its plants are there already")}};
  }

  /// The stages that plants start in, by name and title, of either side.
  std::vector<std::pair<std::string, std::string>> first_stages(const BatchPair& pair) const {
    std::vector<std::pair<std::string, std::string>> out;
    const auto meet = [&](const plan::Plan& plan, const plan::BatchPlan* batch) {
      if (batch == nullptr) return;
      const sheet::Template& t = plan.sheet_of(*batch).layout();
      for (const sheet::Chain& chain : t.chains) {
        const auto& stage = t.protocol.stages[chain.stages.front()];
        const auto same = [&](const auto& one) { return one.first == stage.name; };
        if (!stage.takes.empty() || std::any_of(out.begin(), out.end(), same)) continue;
        out.emplace_back(stage.name, shown_name(stage));
      }
    };
    meet(both_.before, pair.before);
    meet(both_.after, pair.after);
    return out;
  }

  void add_chance(const BatchPair& pair, Differences& out) const {
    if (!counts_differ(pair)) return;
    const auto chance = [](const plan::Plan& plan, const plan::BatchPlan* batch) {
      if (batch == nullptr || !batch->dated) return no_reading();
      const auto prospects = sheet::prospects(plan.row_of(*batch));
      return prospects ? chance_reading(prospects->chance) : no_reading();
    };
    const Reading before = chance(both_.before, pair.before);
    const Reading after = chance(both_.after, pair.after);
    if (before.shown == after.shown) return;
    add_difference(out,
                   {"batch", *pair.id, "chance", "chance to reach the number", "", before, after});
  }

  /// The chance takes long to work out.
  bool counts_differ(const BatchPair& pair) const {
    if (pair.before == nullptr || pair.after == nullptr) return true;
    const sheet::Template& t = layout_of(pair);
    if (both_.after.sheet_of(*pair.after).layout().protocol.fingerprint != t.protocol.fingerprint) {
      return true;
    }
    const auto differs = [&](sheet::CellId cell) {
      const double one = value_of(both_.before, pair.before, cell);
      const double other = value_of(both_.after, pair.after, cell);
      return one != other && !(std::isnan(one) && std::isnan(other));
    };
    if (differs(t.ordered)) return true;
    return std::any_of(t.stages.begin(), t.stages.end(), [&](const sheet::StageCells& s) {
      return differs(s.plants) || differs(s.left) || differs(s.survival) ||
             differs(s.evidence.seen) || differs(s.evidence.good) || differs(s.evidence.batches) ||
             differs(s.evidence.likeness);
    });
  }

  /// An order is looked at when it passes the filter in either plan.
  bool passes_either(const OrderPair& pair) const {
    return (pair.before != nullptr && passes(both_.before, *pair.before, filter_)) ||
           (pair.after != nullptr && passes(both_.after, *pair.after, filter_));
  }

  bool differs(const OrderPair& pair) const {
    if (pair.before == nullptr || pair.after == nullptr) return true;
    if (pair.before->date != pair.after->date) return true;
    const WorkNeeds one = needs_of(both_.before, *pair.before);
    const WorkNeeds other = needs_of(both_.after, *pair.after);
    return one.plants != other.plants || one.person_seconds != other.person_seconds ||
           one.supplies != other.supplies;
  }

  std::vector<WorkDifference> works_of(const BatchPair& pair) const {
    std::map<OrderKey, OrderPair> orders;
    const auto meet = [&](const plan::Plan& plan, const plan::BatchPlan* batch,
                          const OrdersByBatch& all, const plan::WorkOrder* OrderPair::*side) {
      if (batch == nullptr) return;
      const auto index = static_cast<std::size_t>(batch - plan.batches.data());
      for (const plan::WorkOrder* order : all[index]) orders[key_of(*order)].*side = order;
    };
    meet(both_.before, pair.before, before_, &OrderPair::before);
    meet(both_.after, pair.after, after_, &OrderPair::after);
    std::vector<WorkDifference> out;
    bool differs_at_all = false;
    for (const auto& [key, order] : orders) {
      if (!passes_either(order)) continue;
      const auto [stage, work, occurrence, part] = key;
      if (out.empty() || out.back().stage != stage || out.back().work != work) {
        if (!out.empty() && !differs_at_all) out.pop_back();
        out.push_back({stage, work, {}});
        differs_at_all = false;
      }
      out.back().orders.push_back(order);
      differs_at_all = differs_at_all || differs(order);
    }
    if (!out.empty() && !differs_at_all) out.pop_back();
    return out;
  }

  void add_makings(Differences& out) const {
    std::map<std::string, std::pair<const plan::Making*, const plan::Making*>> pairs;
    for (const plan::Making& one : both_.before.makings) {
      if (passes(both_.before, one, filter_))
        pairs[plan::making_id(both_.before, one)].first = &one;
    }
    for (const plan::Making& one : both_.after.makings) {
      if (passes(both_.after, one, filter_)) pairs[plan::making_id(both_.after, one)].second = &one;
    }
    for (const auto& [id, pair] : pairs) {
      const auto& [was, is] = pair;
      const bool old = is == nullptr;
      const plan::Plan& plan = old ? both_.before : both_.after;
      const language::Supply& made = plan.recipes[(old ? was : is)->recipe].supply();
      const auto amount = [&](const plan::Making* one) {
        return one == nullptr ? no_reading() : amount_reading(one->amount, made.unit);
      };
      const auto time = [](const plan::Making* one) {
        return one == nullptr ? no_reading() : hours_reading(one->seconds);
      };
      const std::string title = made.title + ", " + calendar::short_date((old ? was : is)->date);
      add_difference(out, {"making", "", id, title, "amount", amount(was), amount(is)});
      add_difference(out, {"making", "", id, title, "people's time", time(was), time(is)});
    }
  }

  void add_messages(Differences& out) const {
    using Message = std::tuple<std::string, std::string, std::string>;  // about, batch, words
    const auto collect = [&](const plan::Plan& plan) {
      std::set<Message> found;
      for (const plan::Conflict& conflict : plan.conflicts) {
        if (filter_.batch && !plan::concerns(conflict, *filter_.batch)) continue;
        found.insert({"conflict", conflict.batch, conflict.message});
      }
      for (const plan::Note& note : plan.notes) {
        if (filter_.batch && note.batch != *filter_.batch) continue;
        found.insert({"note", note.batch, note.message});
      }
      return found;
    };
    const std::set<Message> before = collect(both_.before);
    const std::set<Message> after = collect(both_.after);
    for (const auto& [about, batch, words] : after) {
      if (before.contains({about, batch, words})) continue;
      out.push_back({about, batch, "", "", "", no_reading(), text_reading(words)});
    }
    std::set<std::string> undated;
    for (const BatchPair& pair : pairs_of(both_)) {
      if (loses_dates(pair)) undated.insert(*pair.id);
    }
    for (const auto& [about, batch, words] : before) {
      if (after.contains({about, batch, words})) continue;
      if (about == "note" && undated.contains(batch)) continue;
      out.push_back({about, batch, "", "", "", text_reading(words), no_reading()});
    }
  }

  const Comparison& both_;
  const Filter& filter_;
  OrdersByBatch before_, after_;
  SettingOrders settings_before_, settings_after_;
};

}  // namespace

PlanDifference plan_difference(const Comparison& both, const Filter& filter) {
  return Comparer(both, filter).run();
}

PlanDifference value_difference(const Comparison& both) {
  const Filter all;
  return Comparer(both, all).run_values();
}

WorkNeeds needs_of(const plan::Plan& plan, const plan::WorkOrder& order) {
  const sheet::Row row = plan.row_of(plan.batches[order.batch]);
  WorkNeeds out;
  out.plants = plan::share_of(order, row.value(row.cells(order.stage).plants));
  out.person_seconds = plan::person_seconds(plan, order);
  for (const sheet::UseCells& use : row.cells(order.stage, order.work).uses) {
    out.supplies.push_back(plan::use_of(plan, order, row, use));
  }
  return out;
}

const language::Supply& supply_of(const language::Protocol& protocol, const language::Use& use) {
  return protocol.supplies[use.supply];
}

Differences order_rows(const Comparison& both, const BatchDifference& batch) {
  Differences out;
  const language::Protocol& protocol = protocol_of(both, batch.batch);
  for (const WorkDifference& work : batch.works) {
    const language::Work& written = protocol.stages[work.stage].works[work.work];
    for (const OrderPair& pair : work.orders) {
      const plan::WorkOrder* one = pair.before;
      const plan::WorkOrder* other = pair.after;
      const std::string id =
          other != nullptr ? order_id(both.after, *other) : order_id(both.before, *one);
      const WorkNeeds before = one != nullptr ? needs_of(both.before, *one) : WorkNeeds{};
      const WorkNeeds after = other != nullptr ? needs_of(both.after, *other) : WorkNeeds{};
      const auto add = [&](const std::string& value, Reading was, Reading is) {
        add_difference(out, {"order", *batch.batch.id, id, written.title, value,
                             one != nullptr ? std::move(was) : no_reading(),
                             other != nullptr ? std::move(is) : no_reading()});
      };
      add("date", one != nullptr ? date_reading(one->date) : no_reading(),
          other != nullptr ? date_reading(other->date) : no_reading());
      add("plants", plants_reading(before.plants), plants_reading(after.plants));
      if (before.person_seconds > 0 || after.person_seconds > 0) {
        add("people's time", hours_reading(before.person_seconds),
            hours_reading(after.person_seconds));
      }
      for (std::size_t i = 0; i < written.uses.size(); ++i) {
        const language::Supply& supply = supply_of(protocol, written.uses[i]);
        add(supply.name, amount_reading(one != nullptr ? before.supplies[i] : 0, supply.unit),
            amount_reading(other != nullptr ? after.supplies[i] : 0, supply.unit));
      }
    }
  }
  return out;
}

}  // namespace budwood::report
