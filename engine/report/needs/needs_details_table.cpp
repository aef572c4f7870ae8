#include <map>
#include <ostream>

#include "plan/needs/costs.hpp"
#include "plan/needs/margins.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using Kind = Table::Kind;

/// A group as people read it: a day comes with its weekday, a week with its Monday.
std::string group_title(const plan::Plan& plan, const plan::NeedsGroup& group,
                        plan::Grouping grouping) {
  const std::string name = group_name(plan, group, grouping);
  if (grouping == plan::Grouping::day) return short_date(group.first);
  if (grouping == plan::Grouping::week) return name + ", " + short_date(group.first);
  return name;
}

std::string group_head(plan::Grouping grouping) {
  if (grouping == plan::Grouping::day) return "Day";
  return grouping == plan::Grouping::week ? "Week" : "Batch";
}

/// What no price was found for, in words.
std::vector<std::string> unpriced_names(const plan::Needs& needs, const plan::Costs& costs) {
  std::vector<std::string> names;
  for (const std::string& supply : costs.unpriced_supplies)
    names.push_back(title_of(needs, supply));
  for (const std::string& crew : costs.unpriced_crews) {
    names.push_back(crew.empty() ? "work without a crew" : "work of " + crew);
  }
  names.insert(names.end(), costs.unpriced_energy.begin(), costs.unpriced_energy.end());
  return names;
}

/// "12.40", with a mark when something is missing from it.
std::string marked(double money, bool complete) {
  return money_text(money) + (complete ? "" : " *");
}

/// Costs of batches; with a column for energy where rooms tell of some.
class CostsTable {
 public:
  CostsTable(const plan::Plan& plan, const plan::Costs& costs, bool by_stage)
      : plan_(plan),
        by_stage_(by_stage),
        energy_(costs.energy > 0 || !costs.unpriced_energy.empty()),
        table_(heads()) {
    for (const plan::BatchCost& cost : costs.batches) add_batch(cost);
    add("all together", "", costs, marked(costs.total(), costs.complete()), "");
  }

  void write(std::ostream& out, const Style& style) { table_.write(out, style, table_indent); }
  bool has_energy() const { return energy_; }

 private:
  std::vector<Table::Column> heads() const {
    std::vector<Table::Column> out{{with_currency("Costs", plan_), Kind::entry},
                                   {by_stage_ ? "Stage" : "Ordered"},
                                   {"Supplies", Kind::number},
                                   {"Labour", Kind::number}};
    if (energy_) out.push_back({"Energy", Kind::number});
    out.push_back({"Total", Kind::number});
    out.push_back({"A plant", Kind::number});
    return out;
  }

  template <class Cost>
  void add(const std::string& name, const std::string& what, const Cost& cost,
           const std::string& total, const std::string& a_plant) {
    std::vector<std::string> row{name, what, money_text(cost.supplies), money_text(cost.labour)};
    if (energy_) row.push_back(money_text(cost.energy));
    row.push_back(total);
    row.push_back(a_plant);
    table_.add(std::move(row));
  }

  void add_batch(const plan::BatchCost& cost) {
    const plan::BatchPlan& batch = plan_.batches[cost.batch];
    const auto plants = static_cast<double>(plan_.facts_of(batch).plants.value);
    add(batch_id(plan_, cost.batch), plants_text(plants), cost, marked(cost.total(), cost.complete),
        marked(cost.a_plant, cost.complete));
    if (!by_stage_) return;
    for (const plan::StageCost& stage : cost.stages) {
      add("", shown_name(plan_.protocol_of(batch).stages[stage.stage]), stage,
          marked(stage.total(), stage.complete), "");
    }
  }

  const plan::Plan& plan_;
  bool by_stage_;
  bool energy_;
  Table table_;
};

/// Takings of one line of a protocol.
struct Rule {
  std::string heading;  ///< the line as it is written, and where
  std::vector<const plan::Taking*> takings;
};

/// What makes up the amount of a supply, by the line that asks for it, in the order of the work.
std::vector<Rule> rules_of(const plan::Plan& plan, const plan::SupplyNeed& need) {
  std::vector<Rule> rules;
  std::map<std::pair<const text::Source*, std::uint32_t>, std::size_t> known;
  for (const plan::Taking& taking : need.takings) {
    if (!makes_up(need, taking)) continue;
    const text::Span line = line_of(plan, taking);
    const auto [place, fresh] = known.try_emplace({line.source, line.begin}, rules.size());
    if (fresh) {
      const std::string where = file_and_line(line);
      rules.push_back({rule_text(plan, taking) + (where.empty() ? "" : ", " + where), {}});
    }
    rules[place->second].takings.push_back(&taking);
  }
  return rules;
}

/// What is out on the day on which most is out, or spoilt by then.
void add_lent(const plan::SupplyNeed& need, const plan::Taking& taking, const std::string& order,
              Table& table) {
  const bool still_out = taking.back > need.peak_day;
  table.add({order, short_date(taking.day),
             units::format(still_out ? taking.amount : taking.spoilt, need.unit),
             still_out ? "back " + short_date(taking.back) : "spoilt"});
}

void write_takings_of(std::ostream& out, const plan::Plan& plan, const plan::SupplyNeed& need,
                      const Style& style) {
  std::string heading = shown_name(need) + ": " + units::format(need.amount, need.unit);
  if (need.reused) heading += " out on " + short_date(need.peak_day);
  out << '\n';
  for (const std::string& line : wrap(heading, style.width)) {
    out << inked(line, Ink::strong, style) << '\n';
  }
  for (const Rule& rule : rules_of(plan, need)) {
    write_remark(out, rule.heading, style);
    Table table({{"Order", Kind::entry}, {"Day", Kind::entry}, {"Amount", Kind::number}, {""}});
    for (const plan::Taking* taking : rule.takings) {
      const std::string order = plan::order_id(plan, plan.orders[taking->order]);
      if (need.reused) {
        add_lent(need, *taking, order, table);
      } else {
        const std::string spoilt =
            taking->spoilt > 0 ? "with " + spoilt_text(need, taking->spoilt) : std::string();
        table.add(
            {order, short_date(taking->day), units::format(taking->amount, need.unit), spoilt});
      }
    }
    table.write(out, style, 2 * table_indent);
  }
}

}  // namespace

void write_groups_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                        plan::Grouping grouping, const Style& style) {
  Table table({{group_head(grouping), Kind::entry}, {"Needed"}, {"Amount", Kind::number}});
  for (const plan::NeedsGroup& group : plan::group_needs(plan, needs, grouping)) {
    std::string title = group_title(plan, group, grouping);
    const auto add = [&](const std::string& what, const std::string& amount) {
      table.add({std::move(title), what, amount});
      title.clear();
    };
    for (const plan::GroupShare& share : group.supplies) {
      const plan::SupplyNeed& need = needs.supplies[share.index];
      add(shown_name(need) + (need.reused ? " (comes back)" : ""),
          units::format(share.amount, need.unit));
    }
    for (const plan::GroupShare& share : group.crews) {
      add("work of " + shown_crew(needs.crews[share.index].crew), time_text(share.amount));
    }
  }
  out << '\n';
  table.write(out, style, table_indent);
}

namespace {

/// What it is worth when one percent more comes through.
void write_margins_table(std::ostream& out, const plan::Plan& plan, const Style& style) {
  Table table({{"Batch", Kind::entry},
               {"One percent better", Kind::entry},
               {with_currency("Saves", plan), Kind::number},
               {"Fewer to start with", Kind::number}});
  for (const plan::Margin& margin : plan::margins(plan)) {
    table.add({batch_id(plan, margin.batch), margin.input, money_text(margin.saving),
               units::format_number(margin.fewer)});
  }
  if (table.empty()) return;
  out << '\n';
  table.write(out, style, table_indent);
}

}  // namespace

void write_costs_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                       bool by_stage, const Style& style) {
  const plan::Costs costs = plan::batch_costs(plan, needs);
  CostsTable table(plan, costs, by_stage);
  out << '\n';
  table.write(out, style);
  if (!costs.complete()) {
    write_remark(
        out,
        "* Not complete, for want of a price: " + joined(unpriced_names(needs, costs), "; ") + ".",
        style);
  }
  write_remark(out, "Of what comes back, only what is spoilt is counted.", style);
  if (table.has_energy()) {
    write_remark(out, "The heat of the sun and of lamps is not taken off.", style);
  }
  write_margins_table(out, plan, style);
}

void write_takings_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                         const Style& style) {
  for (const plan::SupplyNeed& need : needs.supplies) write_takings_of(out, plan, need, style);
}

}  // namespace budwood::report
