#include <algorithm>
#include <cmath>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using Kind = Table::Kind;
constexpr std::size_t most_batches_named = 6;

std::vector<std::string> ids_of(const plan::Plan& plan, const std::vector<std::uint32_t>& batches) {
  std::vector<std::string> ids;
  for (const std::uint32_t batch : batches) ids.push_back(batch_id(plan, batch));
  return ids;
}

/// What is to know of an amount: where it stands in time, and what is spoilt of it.
std::string remark(const plan::Plan& plan, const plan::SupplyNeed& need) {
  std::vector<std::string> pieces;
  if (need.reused) {
    std::vector<std::uint32_t> batches;
    for (const plan::PeakShare& share : need.peak) batches.push_back(share.batch);
    pieces.push_back("comes back; most out on " + short_date(need.peak_day) + ": " +
                     some_of(ids_of(plan, batches), most_batches_named));
  }
  if (need.made) {
    const std::string times = counted(static_cast<std::size_t>(need.made->times), "time");
    pieces.push_back(need.made->times > 0
                         ? units::format(need.made->amount, need.unit) + " made here, " + times
                         : std::string("made here; what is on hand is enough"));
  }
  if (need.spoilt > 0) {
    const std::string spoilt = spoilt_text(need, need.spoilt);
    pieces.push_back(need.reused ? spoilt + " in all" : "with " + spoilt);
  }
  return joined(pieces, "; ");
}

void write_supplies(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                    const Style& style) {
  Table table({{"Supply"}, {"Needed", Kind::number}, {"On hand", Kind::number}, {""}});
  for (const plan::SupplyNeed& need : needs.supplies) {
    const bool stocked = need.terms.on_hand > 0;
    table.add({shown_name(need), units::format(need.amount, need.unit),
               stocked ? units::format(need.terms.on_hand, need.unit) : "", remark(plan, need)});
  }
  if (table.empty()) return;
  out << '\n';
  table.write(out, style, table_indent);
}

std::string bought(const plan::SupplyNeed& need) {
  if (need.pack <= 0) return units::format(need.purchase->amount, need.unit);
  static const units::Unit packs = units::counting_unit("packs");
  return units::format(need.purchase->packs, packs) + " of " + units::format(need.pack, need.unit);
}

std::string order_by(const plan::Purchase& purchase) {
  const std::string day =
      purchase.order_by ? short_date(*purchase.order_by) : std::string("no lead time");
  return purchase.late ? day + ", late" : day;
}

/// What has to be bought, the most urgent first.
std::vector<const plan::SupplyNeed*> purchases_of(const plan::Needs& needs) {
  std::vector<const plan::SupplyNeed*> all;
  for (const plan::SupplyNeed& need : needs.supplies) {
    if (need.purchase) all.push_back(&need);
  }
  std::stable_sort(all.begin(), all.end(), [](const auto* a, const auto* b) {
    return a->purchase->order_by.value_or(a->purchase->first.day) <
           b->purchase->order_by.value_or(b->purchase->first.day);
  });
  return all;
}

void write_purchases(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                     const Style& style) {
  const auto purchases = purchases_of(needs);
  if (purchases.empty()) return;
  Table table({{"Order by", Kind::entry},
               {"To buy"},
               {"", Kind::number},
               {with_currency("Cost", plan), Kind::number},
               {"Missing first", Kind::entry}});
  double total = 0;
  std::vector<std::string> unpriced;
  for (const plan::SupplyNeed* need : purchases) {
    const plan::Purchase& purchase = *need->purchase;
    table.add({order_by(purchase), shown_name(*need), bought(*need),
               purchase.cost ? money_text(*purchase.cost) : "-",
               short_date(purchase.first.day) + ", " + batch_id(plan, purchase.first.batch)});
    total += purchase.cost.value_or(0);
    if (!purchase.cost) unpriced.push_back(shown_name(*need));
  }
  const bool no_prices = unpriced.size() == purchases.size();
  const char* sum = unpriced.empty() ? "all together" : "all that is priced";
  if (!no_prices) table.add({"", sum, "", money_text(total), ""});
  out << '\n';
  table.write(out, style, table_indent);
  if (no_prices) {
    write_remark(out, "None of these has a price.", style);
  } else if (!unpriced.empty()) {
    write_remark(out, "Without a price, so not in the sum: " + joined(unpriced, "; ") + ".", style);
  }
}

void write_crews(std::ostream& out, const plan::Needs& needs, const Style& style) {
  Table crews({{"Crew"}, {"Work", Kind::number}});
  double total = 0;
  for (const plan::CrewNeed& need : needs.crews) {
    crews.add({shown_crew(need.crew), time_text(need.seconds)});
    total += need.seconds;
  }
  if (crews.empty()) return;
  crews.add({"all together", time_text(total)});
  out << '\n';
  crews.write(out, style, table_indent);
}

/// Only where the site says what rooms and lamps take.
void write_energy(std::ostream& out, const plan::Plan& plan, const Style& style) {
  Table table({{"Energy"},
               {""},
               {"Lamps burn", Kind::number},
               {"kWh", Kind::number},
               {with_currency("Cost", plan), Kind::number}});
  for (const EnergyLine& line : energy_lines(plan)) {
    table.add({line.room, line.what,
               line.hours > 0 ? units::format_number(std::round(line.hours)) + " h" : "",
               line.kwh > 0 ? units::format_number(std::round(line.kwh)) : "-",
               line.cost ? money_text(*line.cost) : "-"});
  }
  if (table.empty()) return;
  out << '\n';
  table.write(out, style, table_indent);
}

void write_overloads(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                     const Style& style) {
  struct Row {
    const plan::CrewNeed* crew;
    const plan::CrewOverload* over;
  };
  std::vector<Row> rows;
  for (const plan::CrewNeed& need : needs.crews) {
    for (const plan::CrewOverload& over : need.overloads) rows.push_back({&need, &over});
  }
  if (rows.empty()) return;
  std::stable_sort(rows.begin(), rows.end(),
                   [](const Row& a, const Row& b) { return a.over->day < b.over->day; });
  Table table({{"Too little time", Kind::entry},
               {"Crew"},
               {"Wanted", Kind::number},
               {"There", Kind::number},
               {"Batches"}});
  for (const Row& row : rows) {
    const std::string there = time_text(row.over->there);
    table.add({short_date(row.over->day), shown_crew(row.crew->crew), time_text(row.over->seconds),
               there.empty() ? "none" : there,
               some_of(ids_of(plan, row.over->batches), most_batches_named)});
  }
  out << '\n';
  table.write(out, style, table_indent);
}

}  // namespace

void write_totals_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                        const Style& style) {
  write_supplies(out, plan, needs, style);
  write_purchases(out, plan, needs, style);
  write_crews(out, needs, style);
  write_energy(out, plan, style);
  write_overloads(out, plan, needs, style);
}

}  // namespace budwood::report
