#include <algorithm>
#include <cmath>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using Kind = Table::Kind;

std::string test_words(const book::Lot& lot) {
  if (!lot.test) return "not tested";
  return units::format(lot.test->share(), *units::find_unit("%"), 3) + ", " +
         plan::test_text(*lot.test);
}

/// A row for each part that is taken of a lot; the first one says what there was, the last one what
/// is left.
void add_lot(const plan::Plan& plan, const plan::LotBalance& lot, Table& table) {
  const units::Unit& unit = lot.supply->unit;
  const std::string use_by =
      lot.facts->use_by ? calendar::iso_date(lot.facts->use_by->value) : std::string();
  const std::string count = units::format(lot.count, unit);
  const std::string left = units::format(lot.left(), unit);
  if (lot.parts.empty()) {
    table.add({lot.lot, test_words(*lot.facts), use_by, count, "nothing is taken", "", left});
    return;
  }
  for (std::size_t i = 0; i < lot.parts.size(); ++i) {
    const plan::LotTaking& taking = plan.lots[lot.parts[i].taking];
    const plan::LotShare& share = taking.shares[lot.parts[i].share];
    const bool first = i == 0;
    table.add({first ? lot.lot : "", first ? test_words(*lot.facts) : "", first ? use_by : "",
               first ? count : "",
               short_date(taking.day) + ", " + batch_id(plan, taking.batch) +
                   (taking.done ? " (done)" : ""),
               units::format(share.amount, unit), i + 1 == lot.parts.size() ? left : ""});
  }
}

/// What no lot has, a row for each batch.
void add_missing(const plan::Plan& plan, const std::string& supply, Table& table) {
  bool first = true;
  for (const std::size_t i : plan::takings_that_miss(plan)) {
    const plan::LotTaking& one = plan.lots[i];
    const language::Supply& its = plan.protocol_of(plan.batches[one.batch]).supplies[one.supply];
    if (its.name != supply) continue;
    table.add({first ? "to buy" : "", "", "", "",
               short_date(one.day) + ", " + batch_id(plan, one.batch),
               units::format(one.shares.back().amount, its.unit), ""});
    first = false;
  }
}

}  // namespace

void write_lots_table(std::ostream& out, const plan::Plan& plan, const Style& style) {
  const std::vector<plan::LotBalance> lots = plan::lot_balances(plan);
  for (std::size_t i = 0; i < lots.size();) {
    const std::string& supply = lots[i].supply->name;
    Table table({{"Lot of " + shown_name(*lots[i].supply)},
                 {"Test", Kind::entry},
                 {"Use by", Kind::entry},
                 {"There", Kind::number},
                 {"Taken", Kind::entry},
                 {"", Kind::number},
                 {"Left", Kind::number}});
    for (; i < lots.size() && lots[i].supply->name == supply; ++i) add_lot(plan, lots[i], table);
    add_missing(plan, supply, table);
    out << '\n';
    table.write(out, style, table_indent);
  }
}

void write_mothers_table(std::ostream& out, const plan::Plan& plan, const Style& style) {
  const std::vector<plan::MotherWeek> weeks = plan::mother_weeks(plan);
  if (!weeks.empty()) {
    Table table({{"Mother plants"},
                 {"Week", Kind::entry},
                 {"There", Kind::number},
                 {"Taken", Kind::number},
                 {"Left", Kind::number},
                 {"Missing", Kind::number}});
    const std::string* last = nullptr;
    for (const plan::MotherWeek& week : weeks) {
      const bool first = last == nullptr || *last != week.mothers;
      table.add({first ? week.mothers : "", calendar::iso_week_text(week.monday),
                 units::format_number(week.there), units::format_number(week.taken),
                 units::format_number(week.there - week.taken),
                 week.missing > 0 ? units::format_number(week.missing) : ""});
      last = &week.mothers;
    }
    out << '\n';
    table.write(out, style, table_indent);
  }
  for (const auto& [name, mothers] : plan.book->site.mothers) {
    if (const auto renewal = plan::renewal_of(mothers)) {
      write_remark(out, name + " are to be renewed by " + short_date(*renewal) + ".", style);
    }
  }
}

void write_finished_table(std::ostream& out, const plan::Plan& plan, const Style& style) {
  if (plan.finished.empty()) return;
  Table table({{"Finished plants"},
               {"Of"},
               {"From", Kind::entry},
               {"Until", Kind::entry},
               {"There", Kind::number},
               {"Taken by", Kind::entry},
               {"", Kind::number},
               {"Left", Kind::number}});
  const plan::FinishedStock* last = nullptr;
  for (const plan::FinishedRow& row : plan::finished_rows(plan)) {
    const plan::FinishedStock& stock = *row.stock;
    const bool first = row.stock != last;
    const bool is_last = row.part == nullptr || row.part == &stock.parts.back();
    last = row.stock;
    table.add({first ? stock.name : "",
               first ? stock.of + (stock.cultivar.empty() ? "" : " (" + stock.cultivar + ")") : "",
               first && stock.from > calendar::first_day ? calendar::iso_date(stock.from) : "",
               first && stock.until < calendar::last_day ? calendar::iso_date(stock.until) : "",
               first ? units::format_number(stock.plants) : "",
               row.part != nullptr ? batch_id(plan, row.part->batch) : "nobody",
               row.part != nullptr ? units::format_number(row.part->plants) : "",
               is_last ? units::format_number(row.left) : ""});
  }
  out << '\n';
  table.write(out, style, table_indent);
}

}  // namespace budwood::report
