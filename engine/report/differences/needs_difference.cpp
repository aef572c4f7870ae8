#include <cmath>
#include <map>
#include <ostream>

#include "plan/needs/costs.hpp"
#include "report/differences/comparison.hpp"
#include "report/differences/needs_difference.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/delivery_words.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"
#include "report/report.hpp"

namespace budwood::report {

namespace {

/// Things of two plans by a key; nullptr where there is none.
template <class Key, class Thing>
using Pairs = std::map<Key, std::pair<const Thing*, const Thing*>>;

/// A reading of one side, or none.
template <class Thing, class Read>
Reading read_side(const Thing* thing, Read read) {
  return thing == nullptr ? no_reading() : read(*thing);
}

Pairs<std::string, plan::SupplyNeed> supplies_of(const plan::Needs& before,
                                                 const plan::Needs& after) {
  Pairs<std::string, plan::SupplyNeed> out;
  for (const plan::SupplyNeed& need : before.supplies) out[need.supply].first = &need;
  for (const plan::SupplyNeed& need : after.supplies) out[need.supply].second = &need;
  return out;
}

void add_supplies(Differences& out, const plan::Needs& before, const plan::Needs& after) {
  for (const auto& [name, pair] : supplies_of(before, after)) {
    const auto amount = [](const plan::SupplyNeed& need) {
      return amount_reading(need.amount, need.unit);
    };
    const std::string title = shown_name(pair.first != nullptr ? *pair.first : *pair.second);
    add_difference(out, {"supply", "", name, title, "", read_side(pair.first, amount),
                         read_side(pair.second, amount)});
    const auto made = [](const plan::SupplyNeed& need) {
      return need.made ? amount_reading(need.made->amount, need.unit) : no_reading();
    };
    add_difference(out, {"supply", "", name, title, "made here", read_side(pair.first, made),
                         read_side(pair.second, made)});
  }
}

Reading order_by(const plan::SupplyNeed& need) {
  if (!need.purchase || !need.purchase->order_by) return no_reading();
  Reading out = date_reading(*need.purchase->order_by);
  if (need.purchase->late) out.shown += ", late";
  return out;
}

std::size_t deliveries_of(const plan::SupplyNeed* need) {
  return need != nullptr && need->purchase ? need->purchase->deliveries.size() : 0;
}

void add_purchases(Differences& out, const plan::Plan& plan, const plan::Needs& before,
                   const plan::Needs& after) {
  const std::string currency = currency_of(plan);
  for (const auto& [name, pair] : supplies_of(before, after)) {
    const std::string title = shown_name(pair.first != nullptr ? *pair.first : *pair.second);
    const auto add = [&, &name = name, &one = pair](const std::string& value, auto read) {
      add_difference(out, {"purchase", "", name, title, value, read_side(one.first, read),
                           read_side(one.second, read)});
    };
    add("buy", [](const plan::SupplyNeed& need) {
      return need.purchase ? amount_reading(need.purchase->amount, need.unit) : no_reading();
    });
    add("order by", order_by);
    const bool several = deliveries_of(pair.first) > 1 || deliveries_of(pair.second) > 1;
    add("deliveries", [&](const plan::SupplyNeed& need) {
      static const units::Unit deliveries = units::counting_unit("deliveries");
      const std::size_t all = several ? deliveries_of(&need) : 0;
      return all > 0 ? amount_reading(static_cast<double>(all), deliveries) : no_reading();
    });
    add("from", [](const plan::SupplyNeed& need) {
      const std::string names = need.purchase ? suppliers_text(*need.purchase) : std::string();
      return names.empty() ? no_reading() : text_reading(names);
    });
    add(with_currency("cost", plan), [&](const plan::SupplyNeed& need) {
      return need.purchase && need.purchase->cost ? money_reading(*need.purchase->cost, currency)
                                                  : no_reading();
    });
  }
}

void add_crews(Differences& out, const plan::Needs& before, const plan::Needs& after) {
  Pairs<std::string, plan::CrewNeed> crews;
  for (const plan::CrewNeed& need : before.crews) crews[need.crew].first = &need;
  for (const plan::CrewNeed& need : after.crews) crews[need.crew].second = &need;
  for (const auto& [name, pair] : crews) {
    const auto hours = [](const plan::CrewNeed& need) { return hours_reading(need.seconds); };
    add_difference(out, {"crew", "", name, shown_crew(name), "", read_side(pair.first, hours),
                         read_side(pair.second, hours)});
  }
}

/// Of rooms: heat and lamps.
void add_energy(Differences& out, const Comparison& both) {
  const auto all = [](const plan::Plan& plan) {
    std::map<std::string, EnergyLine> lines;
    for (EnergyLine& line : energy_lines(plan)) {
      std::string name = line.room + ", " + line.what;
      lines.emplace(std::move(name), std::move(line));
    }
    return lines;
  };
  const auto before = all(both.before);
  const auto after = all(both.after);
  Pairs<std::string, EnergyLine> rooms;
  for (const auto& [name, line] : before) rooms[name].first = &line;
  for (const auto& [name, line] : after) rooms[name].second = &line;
  const units::Unit kwh = *units::find_unit("kWh");
  for (const auto& [name, pair] : rooms) {
    const auto read = [&](const EnergyLine& line) {
      return amount_reading(kwh.to_base(std::round(line.kwh)), kwh);
    };
    add_difference(out, {"energy", "", name, name, "", read_side(pair.first, read),
                         read_side(pair.second, read)});
  }
}

/// By how much crews are short of time, day by day.
void add_overloads(Differences& out, const plan::Needs& before, const plan::Needs& after) {
  Pairs<std::pair<calendar::Day, std::string>, plan::CrewOverload> days;
  for (const plan::CrewNeed& need : before.crews) {
    for (const plan::CrewOverload& over : need.overloads) days[{over.day, need.crew}].first = &over;
  }
  for (const plan::CrewNeed& need : after.crews) {
    for (const plan::CrewOverload& over : need.overloads) {
      days[{over.day, need.crew}].second = &over;
    }
  }
  for (const auto& [key, pair] : days) {
    const auto missing = [](const plan::CrewOverload& over) {
      return hours_reading(over.seconds - over.there);
    };
    add_difference(
        out, {"short_of_time", "", key.second,
              shown_crew(key.second) + ", " + short_date(key.first), calendar::iso_date(key.first),
              read_side(pair.first, missing), read_side(pair.second, missing)});
  }
}

/// Batches that have dates on one side only: on the other nothing is counted for them.
void add_batches(Differences& out, const Comparison& both) {
  Pairs<std::string, plan::BatchPlan> batches;
  for (const plan::BatchPlan& batch : both.before.batches) {
    batches[both.before.facts_of(batch).id.value].first = &batch;
  }
  for (const plan::BatchPlan& batch : both.after.batches) {
    batches[both.after.facts_of(batch).id.value].second = &batch;
  }
  const auto ready = [](const plan::Plan& plan, const plan::BatchPlan* batch) {
    return batch != nullptr && batch->dated ? date_reading(*plan.row_of(*batch).ready())
                                            : no_reading();
  };
  for (const auto& [id, pair] : batches) {
    const Reading before = ready(both.before, pair.first);
    const Reading after = ready(both.after, pair.second);
    const bool was = before.kind != Reading::Kind::none;
    const bool is = after.kind != Reading::Kind::none;
    if (was != is) add_difference(out, {"batch", id, "", "", "ready", before, after});
  }
}

}  // namespace

Differences cost_rows(const Comparison& both, const plan::Needs& before, const plan::Needs& after) {
  Differences out;
  const std::string currency = currency_of(both.before);
  const plan::Costs was = plan::batch_costs(both.before, before);
  const plan::Costs is = plan::batch_costs(both.after, after);
  Pairs<std::string, plan::BatchCost> batches;
  for (const plan::BatchCost& cost : was.batches) {
    batches[batch_id(both.before, cost.batch)].first = &cost;
  }
  for (const plan::BatchCost& cost : is.batches) {
    batches[batch_id(both.after, cost.batch)].second = &cost;
  }
  for (const auto& [id, pair] : batches) {
    const auto add = [&, &batch = id, &one = pair](const std::string& value, auto amount) {
      const auto read = [&](const plan::BatchCost& cost) {
        return money_reading(amount(cost), currency);
      };
      add_difference(out, {"cost", batch, value, "", "", read_side(one.first, read),
                           read_side(one.second, read)});
    };
    add("supplies", [](const plan::BatchCost& cost) { return cost.supplies; });
    add("labour", [](const plan::BatchCost& cost) { return cost.labour; });
    add("energy", [](const plan::BatchCost& cost) { return cost.energy; });
    add("total", [](const plan::BatchCost& cost) { return cost.total(); });
    add("a plant", [](const plan::BatchCost& cost) { return cost.a_plant; });
  }
  add_difference(out, {"cost", "", "all together", "", "", money_reading(was.total(), currency),
                       money_reading(is.total(), currency)});
  return out;
}

namespace {

void write_table(std::ostream& out, const Comparison& both, const Differences& rows,
                 const Style& style) {
  write_changes_head(out, both, style);
  const Differences batches = only_about(rows, "batch");
  write_differences_table(out, batches, "Batch", style);
  for (const Difference& one : batches) {
    if (one.after.kind != Reading::Kind::none) continue;
    out << "\n"
        << spaces(table_indent) << "Batch " << one.batch
        << " has no dates after this: nothing is counted for it below.\n";
  }
  write_differences_table(out, only_about(rows, "supply"), "Supply", style);
  write_differences_table(out, only_about(rows, "purchase"), "To buy", style);
  write_differences_table(out, only_about(rows, "crew"), "Crew", style);
  write_differences_table(out, only_about(rows, "energy"), "Energy", style);
  Differences days = only_about(rows, "short_of_time");
  for (Difference& one : days) one.value.clear();  // the title tells the day
  write_differences_table(out, days, "Too little time", style);
  write_differences_table(out, only_about(rows, "cost"), with_currency("Costs", both.before),
                          style);
  if (rows.empty()) out << "\nNothing that is needed changes.\n";
}

}  // namespace

void write_needs_differences(std::ostream& out, const Comparison& both, const plan::Needs& before,
                             const plan::Needs& after, bool costs, Format format,
                             const Style& style) {
  Differences rows;
  add_batches(rows, both);
  add_supplies(rows, before, after);
  add_purchases(rows, both.before, before, after);
  add_crews(rows, before, after);
  add_energy(rows, both);
  add_overloads(rows, before, after);
  if (costs) {
    const Differences money = cost_rows(both, before, after);
    rows.insert(rows.end(), money.begin(), money.end());
  }
  if (format == Format::table) return write_table(out, both, rows, style);
  Differences all = change_rows(both);
  all.insert(all.end(), rows.begin(), rows.end());
  if (format == Format::csv) return write_differences_csv(out, all);
  write_differences_json(out, both.before.book->site.name.value, all);
}

}  // namespace budwood::report
