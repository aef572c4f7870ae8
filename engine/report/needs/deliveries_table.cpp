#include <ostream>
#include <span>

#include "report/formats/wording.hpp"
#include "report/needs/delivery_words.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using Kind = Table::Kind;

using Lines = std::span<const ListedDelivery>;

/// The lines of one supplier, and what they cost together where there are several.
Table supplier_table(const plan::Plan& plan, Lines lines) {
  Table table({{"From " + supplier_text(*lines.front().delivery)},
               {"", Kind::number},
               {with_currency("Cost", plan), Kind::number},
               {"Order by", Kind::entry},
               {"Arrives", Kind::entry},
               {"Lasts until", Kind::entry}});
  double sum = 0;
  bool priced = true;
  for (const auto& [need, delivery] : lines) {
    table.add({shown_name(*need), bought_text(*need, *delivery),
               delivery->cost ? money_text(*delivery->cost) : "-", order_by_text(*delivery),
               short_date(delivery->arrives()), short_date(delivery->last)});
    sum += delivery->cost.value_or(0);
    priced = priced && delivery->cost.has_value();
  }
  const char* all = priced ? "all together" : "all that is priced";
  if (lines.size() > 1 && sum > 0) table.add({all, "", money_text(sum)});
  return table;
}

}  // namespace

void write_deliveries_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                            const Style& style) {
  const auto all = deliveries_by_supplier(needs);
  if (all.empty()) {
    out << "\nNothing has to be bought.\n";
    return;
  }
  for (std::size_t first = 0; first < all.size();) {
    const std::string& supplier = all[first].delivery->supplier;
    std::size_t end = first;
    while (end < all.size() && all[end].delivery->supplier == supplier) ++end;
    out << '\n';
    supplier_table(plan, Lines(all).subspan(first, end - first)).write(out, style, table_indent);
    first = end;
  }
  const std::vector<std::string> notes = delivery_notes(plan, needs);
  if (!notes.empty()) out << '\n';
  for (const std::string& note : notes) write_remark(out, note, style);
}

}  // namespace budwood::report
