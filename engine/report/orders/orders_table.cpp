#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <ostream>
#include <set>
#include <span>
#include <tuple>

#include "language/check/hazard.hpp"
#include "report/demand/demand_report.hpp"
#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "report/needs/needs_words.hpp"
#include "report/orders/order_words.hpp"
#include "sheet/counts/prospects.hpp"
#include "units/rounding.hpp"

namespace budwood::report {

namespace {

constexpr std::size_t least_text = 30;  ///< columns for text, however narrow the page
constexpr std::size_t label_width = 9;

/// What the planner has to say of each batch.
struct Remarks {
  std::vector<const plan::Conflict*> conflicts;
  std::vector<const plan::Note*> notes;
};
using RemarksByBatch = std::map<std::string_view, Remarks>;

RemarksByBatch remarks_of(const plan::Plan& plan) {
  RemarksByBatch remarks;
  for (const plan::Conflict& conflict : plan.conflicts) {
    remarks[conflict.batch].conflicts.push_back(&conflict);
  }
  for (const plan::Note& note : plan.notes) remarks[note.batch].notes.push_back(&note);
  return remarks;
}

/// Writes text beside or below something else: every line of it starts in the same column.
class Page {
 public:
  Page(std::ostream& out, const Style& style) : out_(out), style_(style) {}

  void heading(std::string_view text) const { block("", text, 0, Ink::strong); }

  /// `lead` fills the first `left` columns of the first line.
  void block(std::string_view lead, std::string_view text, std::size_t left, Ink ink) const {
    const std::size_t room = style_.width > left ? style_.width - left : 0;
    std::string before = pad_right(lead, left);
    for (const std::string& line : wrap(text, std::max(room, least_text))) {
      out_ << before << inked(line, ink, style_) << '\n';
      before = spaces(left);
    }
  }

  /// "Caution  Sharp knife: ..." from column `left` on; nothing for no text.
  void labelled(std::string_view label, std::string_view text, std::size_t left,
                Ink ink = Ink::plain) const {
    if (text.empty()) return;
    block(spaces(left) + pad_right(label, label_width), text, left + label_width, ink);
  }

  std::ostream& out() const { return out_; }
  const Style& style() const { return style_; }

 private:
  std::ostream& out_;
  const Style& style_;
};

std::string batch_heading(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const book::Batch& facts = plan.facts_of(batch);
  const bool rounds = row.protocol().of_site;
  const std::string cultivar = facts.cultivar.empty() ? "" : " (" + facts.cultivar + ")";
  return "Batch " + facts.id.value + cultivar + ": " +
         plants_text(static_cast<double>(facts.plants.value), rounds) +
         (batch.over && !facts.stopped ? ", closed on " + calendar::short_date(*batch.over)
          : batch.dated || !batch.raised
              ? (rounds ? " up to " : " ready on ") + short_date(*plan::ready_on(plan, batch))
          : facts.stopped ? std::string(", given up")
                          : std::string(", without dates"));
}

/// "2027-04-14 to 04-20": when a stage may end within the ranges that nature has. A year that both
/// share is told once, as ISO 8601 does in intervals.
std::string range_text(std::optional<calendar::Day> earliest, std::optional<calendar::Day> latest) {
  if (!earliest || !latest) return "-";
  const std::string first = calendar::iso_date(*earliest);
  if (earliest == latest) return first;
  const std::string last = calendar::iso_date(*latest);
  constexpr std::size_t year = 5;  // "2027-"
  const bool same_year = first.compare(0, year, last, 0, year) == 0;
  return first + " to " + (same_year ? last.substr(year) : last);
}

void write_stages(const Page& page, const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  using Kind = Table::Kind;
  Table table({{"Stage"},
               {"Start", Kind::entry},
               {"End", Kind::entry},
               {"May end"},
               {"Float", Kind::number},
               {"Plants", Kind::number},
               {"Left", Kind::number},
               {"Room"}});
  const auto number = [&](sheet::CellId cell) {
    const double value = row.value(cell);
    return whole_plants(value);
  };
  for (const language::StageId s : row.protocol().stages.ids()) {
    const sheet::StageCells& cells = row.cells(s);
    table.add({shown_name(row.stage(s)), short_date(row.value(cells.start)),
               short_date(row.value(cells.end)),
               range_text(row.known_day(cells.earliest), row.known_day(cells.latest)),
               number(cells.float_days), number(cells.plants), number(cells.left),
               row.stage(s).room});
  }
  table.write(page.out(), page.style(), indent);
}

/// " 3 % to spare, trays filled: 618 aimed at, 32 more than the 600 ordered expected."; "" where
/// only what is ordered is aimed at.
std::string surplus_text(const sheet::Row& row, const plan::BatchPlan& batch, double expected) {
  const double ordered = row.value(row.layout().ordered);
  const double spare = row.value(row.layout().spare);
  const bool full = row.value(row.layout().full_trays) > 0;
  if (spare <= 0 && !full) return "";
  std::vector<std::string> why;
  if (spare > 0) why.push_back(fmt::format("{:g} %", 100 * spare) + " to spare");
  if (full) why.emplace_back("trays filled");
  std::string out = " " + text::list_words(why, "and") + ": ";
  if (spare > 0) out += whole_plants(units::round_up(ordered * (1 + spare))) + " aimed at, ";
  const double over = std::floor(expected) - ordered;
  const std::string than =
      batch.from_stock > 0 ? "the " + units::format_number(ordered) + " to be raised" : "ordered";
  return out + (over > 0 ? whole_plants(over) : "none") + " more than " + than + " expected.";
}

/// "Start with 702 in `sticking`; 601 expected, 588 to 614 in 90 of 100 cases; 600 are reached
/// with 54.1 % chance."
std::string prospects_text(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const auto prospects = sheet::prospects(plan.row_of(batch));
  if (!prospects) return "";
  const sheet::Row row = plan.row_of(batch);
  std::vector<std::string> starts;
  for (const sheet::Chain& chain : row.layout().chains) {
    const language::StageId first = chain.stages.front();
    if (!row.stage(first).takes.empty()) continue;
    starts.push_back(units::format_number(row.value(row.cells(first).plants)) + " in `" +
                     row.stage(first).name + "`");
  }
  std::string out = "Start with " + text::list_words(starts, "and") + "; " +
                    whole_plants(prospects->expected) + " expected";
  if (!prospects->bound) {
    out += ", " + whole_plants(static_cast<double>(prospects->low)) + " to " +
           whole_plants(static_cast<double>(prospects->high)) + " in 90 of 100 cases";
  }
  out += "; " + whole_plants(static_cast<double>(plan.facts_of(batch).plants.value)) +
         " are reached with " + (prospects->bound ? "at least " : "") +
         chance_text(prospects->chance) + " chance";
  if (batch.from_stock > 0) {
    out += " with the " + units::format_number(batch.from_stock) + " that are there";
  }
  const double sure = row.value(row.layout().sure);
  out += sure > 0 ? ", " + fmt::format("{:g} %", 100 * sure) + " asked." : ".";
  return out + surplus_text(row, batch, prospects->expected);
}

void write_batch(const Page& page, const plan::Plan& plan, const plan::BatchPlan& batch,
                 const Remarks& remarks) {
  page.out() << '\n';
  page.heading(batch_heading(plan, batch));
  page.block(spaces(indent), protocol_text(plan.protocol_of(batch)), indent, Ink::plain);
  for (const plan::Conflict* conflict : remarks.conflicts) {
    page.labelled("Conflict", conflict->message, indent, Ink::warning);
    for (const sheet::DateConflict::Line& fact : conflict->facts) {
      const std::string place = place_text(plan, fact.span);
      page.labelled("", "- " + fact.text + (place.empty() ? "" : " (" + place + ")"), indent);
    }
    for (const plan::Repair& repair : conflict->repairs) {
      page.labelled("", "> This would help: " + repair.text, indent);
    }
  }
  if (!plan.facts_of(batch).stopped) {
    if (batch.raised) {
      write_stages(page, plan, batch);
      // Nobody loses the cards of a round.
      if (!plan.protocol_of(batch).of_site) {
        page.labelled("Count", prospects_text(plan, batch), indent);
      }
    }
    for (const std::string& line : demand_lines(plan, batch)) {
      page.labelled("Demand", line, indent);
    }
    for (const std::string& line : promise_lines(plan, batch)) {
      page.labelled("Promise", line, indent);
    }
    for (const std::string& line : portion_lines(plan, batch)) {
      page.labelled("Pick", line, indent);
    }
  }
  page.labelled("Note", plan.facts_of(batch).note, indent);
  for (const plan::Note* note : remarks.notes) page.labelled("Note", note->message, indent);
}

std::string whereabouts(const plan::OrderDetail& order) {
  std::vector<std::string> pieces{order.id};
  if (!order.cultivar.empty()) pieces.push_back(order.cultivar);
  if (!order.hours.empty()) pieces.push_back(order.hours);
  if (!order.crew.empty()) pieces.push_back("crew " + order.crew);
  if (!order.room.empty()) pieces.push_back("room " + order.room);
  if (order.state != plan::OrderState::open) pieces.emplace_back(plan::word(order.state));
  if (order.people > 0) {
    pieces.push_back(units::format_number(order.people) +
                     (order.people == 1 ? " person" : " people together"));
  }
  return joined(pieces, ", ");
}

/// "Blade; Flammable: see the cautions of the day."
std::string pointer_text(const std::vector<std::string>& cautions) {
  std::vector<std::string> heads;
  for (const std::string& caution : cautions) {
    if (!language::is_usual_caution(caution) || caution == language::caution_deference()) continue;
    heads.push_back(caution.substr(0, caution.find(':')));
  }
  return heads.empty() ? std::string() : joined(heads, "; ") + ": see the cautions of the day.";
}

/// The usual cautions of all orders of a day, each once; what they end with comes last.
void write_cautions(const Page& page, const std::vector<plan::OrderDetail>& orders,
                    const std::vector<plan::MakingDetail>& makings) {
  std::vector<std::string> told;
  const auto tell = [&](const std::vector<std::string>& cautions) {
    for (const std::string& caution : cautions) {
      const bool deference = caution == language::caution_deference();
      if (!language::is_usual_caution(caution) || deference) continue;
      if (std::find(told.begin(), told.end(), caution) == told.end()) told.push_back(caution);
    }
  };
  for (const plan::MakingDetail& making : makings) tell(making.cautions);
  for (const plan::OrderDetail& order : orders) tell(order.cautions);
  if (told.empty()) return;
  told.emplace_back(language::caution_deference());
  for (const std::string& caution : told) page.labelled("Caution", caution, indent, Ink::warning);
}

void write_cautions_of(const Page& page, const std::vector<std::string>& cautions,
                       std::size_t left) {
  for (const std::string& caution : cautions) {
    if (!language::is_usual_caution(caution)) {
      page.labelled("Caution", caution, left, Ink::warning);
    }
  }
  page.labelled("Caution", pointer_text(cautions), left, Ink::warning);
}

void write_order(const Page& page, const plan::OrderDetail& order, std::size_t plants_width,
                 std::size_t time_width) {
  const std::string lead = spaces(indent) +
                           pad_left(plants_text(order.plants, order.cards), plants_width) +
                           spaces(gap) + pad_left(time_text(order.person_seconds), time_width);
  const std::size_t left = indent + plants_width + gap + time_width + gap;
  page.block(lead, order.title, left, Ink::strong);
  page.block("", whereabouts(order), left, Ink::faint);
  page.labelled("Use", supplies_text(order.supplies), left);
  page.labelled("Tools", joined(order.tools, "; "), left);
  page.labelled("Keep", settings_text(order.settings), left);
  write_cautions_of(page, order.cautions, left);
  page.labelled("Record", joined(order.records, "; "), left);
  for (const std::string& note : order.notes) page.labelled("Note", note, left);
}

/// Where lines of a day have their columns.
struct DayWidths {
  std::size_t plants = 11;  // most days look alike
  std::size_t time = 7;
};

/// One line: it is read beside a controller, and there are many.
void write_setting(const Page& page, const plan::SettingDetail& order, const DayWidths& widths) {
  const std::string lead = spaces(indent) + pad_left("set", widths.plants);
  const std::size_t left = indent + widths.plants + gap + widths.time + gap;
  const std::string whom = whom_text(order);
  page.block(lead,
             place_text(order) + ": " + changes_text(order) + " [" + order.id +
                 (whom.empty() ? "" : ", for " + whom) + "]",
             left, Ink::plain);
}

/// What is made for the works of this day or of later ones.
void write_making(const Page& page, const plan::MakingDetail& making, const DayWidths& widths) {
  const std::string lead = spaces(indent) + pad_left("make", widths.plants) + spaces(gap) +
                           pad_left(time_text(making.person_seconds), widths.time);
  const std::size_t left = indent + widths.plants + gap + widths.time + gap;
  page.block(lead, making.title, left, Ink::strong);
  page.block("", made_where(making), left, Ink::faint);
  page.labelled("Use", supplies_text(making.supplies), left);
  page.labelled("For", joined(making.uses, "; "), left);
  page.labelled("Tools", joined(making.tools, "; "), left);
  write_cautions_of(page, making.cautions, left);
  for (const std::string& note : making.notes) page.labelled("Note", note, left);
}

/// Gives the person-seconds of the day.
double write_day(const Page& page, const plan::Plan& plan,
                 std::span<const SelectedOrder> day_orders) {
  std::vector<plan::OrderDetail> orders;
  std::vector<plan::MakingDetail> makings;
  double seconds = 0;
  DayWidths widths;
  for (const SelectedOrder& one : day_orders) {
    if (one.making != nullptr) {
      makings.push_back(plan::describe(plan, *one.making));
      seconds += makings.back().person_seconds;
      widths.time = std::max(widths.time, time_text(makings.back().person_seconds).size());
    }
    if (one.work == nullptr) continue;
    orders.push_back(plan::describe(plan, *one.work));
    seconds += orders.back().person_seconds;
    widths.plants =
        std::max(widths.plants, plants_text(orders.back().plants, orders.back().cards).size());
    widths.time = std::max(widths.time, time_text(orders.back().person_seconds).size());
  }
  const calendar::Day day = day_orders.front().date();
  page.out() << '\n';
  const std::string heading = std::string(calendar::long_name(calendar::weekday(day))) + " " +
                              calendar::iso_date(day) + "  (" + calendar::iso_week_text(day) + ")";
  page.out() << inked(heading, Ink::strong, page.style()) << '\n';
  write_cautions(page, orders, makings);
  auto order = orders.begin();
  auto making = makings.begin();
  for (const SelectedOrder& one : day_orders) {
    if (one.making != nullptr) {
      write_making(page, *making++, widths);
    } else if (one.work != nullptr) {
      write_order(page, *order++, widths.plants, widths.time);
    } else {
      write_setting(page, plan::describe(plan, *one.setting), widths);
    }
  }
  return seconds;
}

/// "4 work orders, 3.2 h of work in all; 12 changes of settings."
std::string total_text(const std::vector<SelectedOrder>& orders, double seconds) {
  const auto works = static_cast<std::size_t>(std::count_if(
      orders.begin(), orders.end(), [](const SelectedOrder& one) { return one.work != nullptr; }));
  const auto makings = static_cast<std::size_t>(
      std::count_if(orders.begin(), orders.end(),
                    [](const SelectedOrder& one) { return one.making != nullptr; }));
  std::string out = works_text(works, makings);
  if (const std::string time = time_text(seconds); !time.empty()) {
    out += ", " + time + " of work in all";
  }
  const std::size_t changes = orders.size() - works - makings;
  if (changes > 0) out += "; " + counted(changes, "change") + " of settings";
  return out + ".";
}

/// An overview of the batches concerned: the one that is asked for; else, with a filter on orders,
/// those that have some.
void write_overview(const Page& page, const plan::Plan& plan, const Filter& filter,
                    const Selection& selected) {
  std::vector<bool> concerned(plan.batches.size(), filter.batch || !filter.narrows_orders());
  for (const std::size_t i : selected.orders) concerned[plan.orders[i].batch] = true;
  for (const plan::SettingOrder& order : selected.settings) {
    concerned[order.lead.batch] = true;
    for (const plan::StageOfBatch& one : plan::whom(plan, order)) concerned[one.batch] = true;
  }
  for (const std::size_t i : selected.makings) {
    for (const plan::MadeFor& use : plan.makings[i].uses) {
      concerned[plan.orders[use.order].batch] = true;
    }
  }
  RemarksByBatch remarks = remarks_of(plan);
  for (std::size_t i = 0; i < plan.batches.size() && page.out(); ++i) {
    const plan::BatchPlan& batch = plan.batches[i];
    if (!concerned[i] || !passes(plan, batch, filter)) continue;
    write_batch(page, plan, batch, remarks[plan.facts_of(batch).id.value]);
  }
}

/// What can be done about turns of one work that are overdue, the first of them and the last.
std::string overdue_text(const plan::Plan& plan, const plan::WorkOrder& first,
                         const plan::WorkOrder& latest, std::size_t turns) {
  const calendar::Day today = *plan.book->today;
  const plan::BatchPlan& batch = plan.batches[first.batch];
  const sheet::Row row = plan.row_of(batch);
  const plan::OrderDetail order = plan::describe(plan, first);
  std::string out = order.title + " [" + order.id + "]: was due ";
  out += turns == 1 ? "on " + short_date(first.date)
                    : std::to_string(turns) + " times" + " from " + short_date(first.date) +
                          " to " + short_date(latest.date);
  const calendar::Day last = plan::last_day_of(plan, latest);
  if (row.end(first.stage) <= today) {
    out += "; its stage is over: note it as done, or as left out.";
  } else if (last >= today) {
    out += "; it can be done until " + short_date(last) + ".";
  } else {
    out += "; its days are over: do it if it still helps, or note it as done or left out.";
  }
  return out;
}

/// "43 rounds of 5 works": repeated work of which the time is over.
std::string missed_text(const plan::Plan& plan, const std::vector<SelectedOrder>& orders) {
  std::set<std::tuple<std::uint32_t, language::StageId, language::WorkId>> works;
  std::size_t rounds = 0;
  for (const SelectedOrder& one : orders) {
    if (one.work == nullptr || !plan::is_missed(plan, *one.work)) continue;
    works.emplace(one.work->batch, one.work->stage, one.work->work);
    ++rounds;
  }
  if (rounds == 0) return "";
  return "Of " + counted(rounds, "round") + " of " + counted(works.size(), "work") +
         " nobody noted anything; their days are over, so nothing is to be done about them.";
}

/// What should have been done before today and still can be, each work once, the oldest first.
void write_overdue(const Page& page, const plan::Plan& plan,
                   const std::vector<SelectedOrder>& orders) {
  using Work = std::tuple<std::uint32_t, language::StageId, language::WorkId>;
  std::map<Work, std::vector<const plan::WorkOrder*>> turns;
  std::vector<Work> in_order;
  for (const SelectedOrder& one : orders) {
    if (one.work == nullptr || one.work->state != plan::OrderState::overdue) continue;
    if (plan::is_missed(plan, *one.work)) continue;
    const Work work{one.work->batch, one.work->stage, one.work->work};
    std::vector<const plan::WorkOrder*>& all = turns[work];
    if (all.empty()) in_order.push_back(work);
    all.push_back(one.work);
  }
  const std::string missed = missed_text(plan, orders);
  if (in_order.empty() && missed.empty()) return;
  page.out() << '\n';
  page.heading("Overdue on " + short_date(*plan.book->today));
  for (const Work& work : in_order) {
    const std::vector<const plan::WorkOrder*>& all = turns[work];
    page.block(spaces(indent), overdue_text(plan, *all.front(), *all.back(), all.size()),
               2 * indent, Ink::warning);
  }
  if (!missed.empty()) page.block(spaces(indent), missed, 2 * indent, Ink::plain);
}

/// Whether an order is told under its day: what is over is history.
bool lies_ahead(const plan::Plan& plan, const Filter& filter, const SelectedOrder& one) {
  return !plan.book->today || filter.from || one.date() >= *plan.book->today;
}

}  // namespace

void write_orders_table(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                        const Selection& selected, const Style& style) {
  const Page page(out, style);
  page.heading(plan.book->site.name.value);
  write_overview(page, plan, filter, selected);
  std::vector<SelectedOrder> orders = in_order(plan, selected);
  write_overdue(page, plan, orders);
  std::erase_if(orders, [&](const SelectedOrder& one) { return !lies_ahead(plan, filter, one); });
  double seconds = 0;
  for (std::size_t first = 0; first < orders.size() && out;) {
    std::size_t end = first;
    while (end < orders.size() && orders[end].date() == orders[first].date()) ++end;
    closing_last(plan, std::span(orders).subspan(first, end - first));
    seconds += write_day(page, plan, std::span(orders).subspan(first, end - first));
    first = end;
  }
  out << '\n';
  page.block("", orders.empty() ? nothing_found(filter) : total_text(orders, seconds), 0,
             Ink::plain);
}

}  // namespace budwood::report
