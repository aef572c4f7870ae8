#include <algorithm>
#include <cmath>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/needs/delivery_words.hpp"
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

/// "all together", or what of it is left without a price.
void write_unpriced(std::ostream& out, const std::vector<std::string>& unpriced, bool none_priced,
                    const Style& style) {
  if (none_priced) {
    write_remark(out, "None of these has a price.", style);
  } else if (!unpriced.empty()) {
    write_remark(out, "Without a price, so not in the sum: " + joined(unpriced, "; ") + ".", style);
  }
}

/// What has to be bought, the most urgent first.
void write_purchases(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                     const Style& style) {
  const auto deliveries = deliveries_by_order(needs);
  if (deliveries.empty()) return;
  Table table({{"Order by", Kind::entry},
               {"To buy"},
               {"", Kind::number},
               {with_currency("Cost", plan), Kind::number},
               {"Missing first", Kind::entry}});
  double total = 0;
  std::vector<std::string> unpriced;
  for (const auto& [need, delivery] : deliveries) {
    table.add({order_by_text(*delivery), shown_name(*need), bought_text(*need, *delivery),
               delivery->cost ? money_text(*delivery->cost) : "-",
               short_date(delivery->first.day) + ", " + batch_id(plan, delivery->first.batch)});
    total += delivery->cost.value_or(0);
    const std::string& name = shown_name(*need);
    const bool told = std::find(unpriced.begin(), unpriced.end(), name) != unpriced.end();
    if (!delivery->cost && !told) unpriced.push_back(name);
  }
  const bool no_prices = std::none_of(deliveries.begin(), deliveries.end(), [](const auto& one) {
    return one.delivery->cost.has_value();
  });
  const char* sum = unpriced.empty() ? "all together" : "all that is priced";
  if (!no_prices) table.add({"", sum, "", money_text(total), ""});
  out << '\n';
  table.write(out, style, table_indent);
  write_unpriced(out, unpriced, no_prices, style);
  for (const std::string& note : delivery_notes(plan, needs)) write_remark(out, note, style);
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
