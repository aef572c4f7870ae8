#include <ostream>

#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

void write_remark(std::ostream& out, std::string_view remark, const Style& style) {
  const std::size_t room = style.width > table_indent ? style.width - table_indent : 1;
  for (const std::string& line : wrap(remark, room)) {
    out << pad_right("", table_indent) << line << '\n';
  }
}

void write_needs_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                       const NeedsView& view, const Style& style) {
  const bool all = view.by == plan::Grouping::all;
  const std::string what = all ? ", all batches" : " by " + std::string(grouping_word(view.by));
  for (const std::string& line :
       wrap("Needs of " + plan.book->site.name.value + what, style.width)) {
    out << inked(line, Ink::strong, style) << '\n';
  }
  if (view.stands_alone()) {
    if (view.deliveries) write_deliveries_table(out, plan, needs, style);
    if (view.lots) write_lots_table(out, plan, style);
    if (view.mothers) write_mothers_table(out, plan, style);
    if (view.finished) write_finished_table(out, plan, style);
    if (view.finished && plan.finished.empty()) out << "\nNo plants are ready already.\n";
    return;
  }
  if (needs.supplies.empty() && needs.crews.empty()) {
    out << "\nNothing: there are no work orders.\n";
    return;
  }
  if (all) {
    write_totals_table(out, plan, needs, style);
  } else {
    write_groups_table(out, plan, needs, view.by, style);
  }
  if (view.costs) {
    write_costs_table(out, plan, needs, view.by == plan::Grouping::batch, style);
  }
  if (all) {
    write_lots_table(out, plan, style);
    write_mothers_table(out, plan, style);
    write_finished_table(out, plan, style);
  }
  if (view.explain) write_takings_table(out, plan, needs, style);
}

}  // namespace budwood::report
