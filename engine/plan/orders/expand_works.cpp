#include "plan/orders/expand_works.hpp"

#include <algorithm>
#include <limits>

#include "book/book.hpp"
#include "plan/level/levelled_dates.hpp"
#include "plan/orders/duty.hpp"
#include "plan/orders/order.hpp"
#include "plan/orders/order_place.hpp"
#include "plan/orders/spread_days.hpp"
#include "plan/orders/turns.hpp"
#include "plan/today/conditional_work.hpp"
#include "sheet/dates/dates.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using calendar::days_text;
using language::StageId;
using language::WorkId;

class WorkExpander {
 public:
  WorkExpander(const Plan& plan, std::uint32_t batch, Expanded& out)
      : plan_(plan),
        out_(out),
        book_(*plan.book),
        number_(batch),
        batch_(plan.batches[batch]),
        facts_(plan.facts_of(batch_)),
        first_(out.orders.size()) {}

  void run(const SeenInBatch& seen) {
    const language::Protocol& protocol = plan_.protocol_of(batch_);
    for (const StageId s : protocol.stages.ids()) {
      for (const WorkId w : protocol.stages[s].works.ids()) expand_work(s, w);
    }
    for (const SeenIf& one : seen.ifs) expand_if(one);
    set_days();
    for (const SeenLook& look : seen.looks) tick(look);
  }

 private:
  /// Whether work is done once for all cultivars of a batch, with another one of them.
  bool falls_to_another(const language::Work& work) const {
    return !facts_.lead && !language::grows_with_plants(work);
  }

  void expand_work(StageId s, WorkId w) {
    const sheet::Row row = plan_.row_of(batch_);
    const language::Work& work = row.stage(s).works[w];
    if (falls_to_another(work)) return;
    const StageSpan span = work_span(row, s, w);
    const std::vector<Turn> turns = turns_of(row, s, w);
    int left_out = 0;
    for (const Turn& turn : turns) {
      const DutyDay duty = duty_day(book_.site, work, turns, turn, span);
      const std::optional<Day> usual = turn.date ? turn.date : late_day(work, turn, span);
      const std::optional<Day> date = duty.applies ? duty.date : usual;
      if (!date) {
        ++left_out;
        if (duty.applies) report_unwatched(plan_, batch_, s, w, turn, out_);
        continue;
      }
      WorkOrder order = order_on(*date, turn.due, s, w, turn.occurrence);
      order.on_duty = duty.on_duty;
      spread(order, work, latest_day(work, turn.due, span));
    }
    if (left_out > 0) {
      note("\"" + work.title + "\" is left out " + std::to_string(left_out) + " of " +
               std::to_string(turns.size()) +
               " times: nobody works on the day, nor on another before its next turn.",
           work.span);
    }
  }

  /// What is only done when something is seen is due when it was, and done as soon as somebody is
  /// there.
  void expand_if(const SeenIf& seen) {
    const language::Stage& stage = plan_.protocol_of(batch_).stages[seen.stage];
    const language::Contingency& contingency = stage.contingencies[seen.contingency];
    std::string told = "`" + contingency.written + "` was so on " + calendar::short_date(seen.day) +
                       " in `" + stage.name + "`.";
    for (const std::string& warning : contingency.warnings) told += " " + warning;
    note(std::move(told), contingency.span);
    for (std::size_t i = 0; i < contingency.actions.size(); ++i) {
      const WorkId w = conditional_work(stage, seen.contingency, i);
      const language::Work& work = stage.works[w];
      if (falls_to_another(work)) continue;
      const Day day = work.crew.empty()
                          ? seen.day
                          : book_.site.working.days().next(seen.day).value_or(seen.day);
      spread(order_on(day, seen.day, seen.stage, w, 1), work, day + days_for_conditional_work);
    }
  }

  /// What has to be done is not lost when its stage began on a day that the protocol would not have
  /// chosen: it falls on the next day on which people work.
  std::optional<Day> late_day(const language::Work& work, const Turn& turn,
                              const StageSpan& span) const {
    if (!book_.today || !sheet::must_find_people(work, turn.due - span.first)) return std::nullopt;
    return book_.site.working.days().next(turn.due);
  }

  WorkOrder order_on(Day date, Day due, StageId s, WorkId w, std::uint16_t occurrence) const {
    WorkOrder order;
    order.date = date;
    order.due = due;
    order.batch = number_;
    order.stage = s;
    order.work = w;
    order.occurrence = occurrence;
    return order;
  }

  /// Adds an order, over as many working days up to `limit` as its crew needs for it.
  void spread(WorkOrder order, const language::Work& work, Day limit) {
    if (order.on_duty) {
      out_.orders.push_back(order);
      return;
    }
    const double wanted = person_seconds(plan_, order);
    const auto crew = book_.site.crews.find(work.crew);
    if (crew == book_.site.crews.end() ||
        !(wanted > crew->second.person_seconds(order.date, book_.site.working))) {
      out_.orders.push_back(order);
      return;
    }
    const SpreadDays found = spread_days(book_.site, crew->second, wanted, order.date, limit);
    if (!found.fits) report_too_much(order, work, crew->second, wanted, found.days);
    order.parts = static_cast<std::uint16_t>(found.days.size());
    for (const Day day : found.days) {
      order.date = day;
      out_.orders.push_back(order);
      ++order.part;
    }
  }

  void report_too_much(const WorkOrder& order, const language::Work& work, const book::Crew& crew,
                       double wanted, const std::vector<Day>& days) {
    const auto hours = [](double seconds) {
      return units::format(seconds, *units::find_unit("h"), 3);
    };
    const auto there = [&](Day day) { return crew.person_seconds(day, book_.site.working); };
    double all = 0;
    for (const Day day : days) all += there(day);
    const bool alike = std::all_of(days.begin(), days.end(),
                                   [&](Day day) { return there(day) == there(days.front()); });
    const std::string has = all <= 0 ? "is not there"
                            : alike  ? "does " + hours(there(days.front())) + " a day"
                                     : "has " + hours(all) + " in the time there is for it";
    // Spread work has equal shares, for which the shortest of the days may be too short.
    const bool uneven = all >= wanted;
    Conflict conflict;
    conflict.batch = facts_.id.value;
    conflict.code = "too-much-work";
    conflict.message = "\"" + work.title + "\" on " + calendar::short_date(order.date) + " is " +
                       hours(wanted) + " of work, and crew `" + work.crew + "` " + has +
                       (uneven ? ", but not in equal shares." : ".");
    conflict.span = work.span;
    out_.conflicts.push_back(std::move(conflict));
    std::vector<Repair>& repairs = out_.conflicts.back().repairs;
    const SpreadDays free = spread_days(book_.site, crew, wanted, order.date, calendar::last_day);
    if (free.fits) {
      repairs.push_back({"Give it " + std::to_string(free.days.size()) + " working " +
                         (free.days.size() == 1 ? "day" : "days") + ": `within " +
                         days_text(free.days.back() - order.due) +
                         "`, in a stage that lasts so long."});
    }
    if (!uneven) {
      repairs.push_back({"Have " + hours(wanted - all) + " more of the crew's time for it."});
    }
  }
  /// Moves the orders of the batch whose days the book gives.
  void set_days() {
    OrderDays days(facts_, batch_.levelled);
    if (!days.empty()) {
      for (std::size_t i = first_; i < out_.orders.size(); ++i) {
        days.apply(order_name(plan_, out_.orders[i]), out_.orders[i]);
      }
    }
    for (const OrderDays::Unknown& one : days.unknown()) {
      if (one.done && add_further_turn(*one.order)) continue;
      if (!facts_.lead) continue;  // it is told of one of all cultivars
      out_.diagnostics.push_back(
          {text::Severity::warning,
           "unknown-order",
           one.order->span,
           "Batch `" + facts_.id.value + "` has no order `" + one.order->order + "`.",
           "`budwood plan --format csv` names them all.",
           {}});
    }
  }

  /// What was noted as done stays done when its stage turns out to be over before that turn: on the
  /// day on which a gate was seen, work that is due daily was done once more.
  bool add_further_turn(const book::OrderDay& noted) {
    const language::Protocol& protocol = plan_.protocol_of(batch_);
    const auto place = place_of(noted.order, protocol);
    if (!place || place->occurrence > std::numeric_limits<std::uint16_t>::max()) return false;
    const language::Work& work = protocol.stages[place->stage].works[place->work];
    if (work.timing.kind != language::Timing::Kind::repeat || falls_to_another(work)) return false;
    const sheet::Row row = plan_.row_of(batch_);
    const StageSpan span = work_span(row, place->stage, place->work);
    const Day last = std::max(span.last, row.end(place->stage));
    if (noted.day < span.first || noted.day > last) return false;
    WorkOrder order = order_on(noted.day, noted.day, place->stage, place->work,
                               static_cast<std::uint16_t>(place->occurrence));
    order.state = OrderState::done;
    out_.orders.push_back(order);
    return true;
  }

  /// Whoever saw something has done the last look that was due by then and of which nothing is
  /// noted; else the next one, if that is due a day later. A look that is noted itself is not done
  /// twice.
  void tick(const SeenLook& look) {
    const language::Timing& timing =
        plan_.protocol_of(batch_).stages[look.stage].works[look.work].timing;
    const bool daily = timing.kind == language::Timing::Kind::repeat && timing.interval == 1;
    std::optional<std::uint16_t> turn;
    std::optional<std::uint16_t> next;
    for (std::size_t i = first_; i < out_.orders.size(); ++i) {
      const WorkOrder& order = out_.orders[i];
      if (order.stage != look.stage || order.work != look.work) continue;
      if (order.done() && order.date == look.day) return;
      const Day due = std::min(order.due, order.date);
      if (order.settled() || due > look.day + 1) continue;
      if (due <= look.day) turn = order.occurrence;
      if (due == look.day + 1 && !daily && !next) next = order.occurrence;
    }
    if (!turn) turn = next;
    for (std::size_t i = first_; turn && i < out_.orders.size(); ++i) {
      WorkOrder& order = out_.orders[i];
      if (order.stage != look.stage || order.work != look.work || order.occurrence != *turn)
        continue;
      order.state = OrderState::done;
      order.date = look.day;
    }
  }

  void note(std::string message, const text::Span& span) {
    out_.notes.push_back({facts_.id.value, std::move(message), span});
  }

  const Plan& plan_;
  Expanded& out_;
  const book::Book& book_;
  std::uint32_t number_;
  const BatchPlan& batch_;
  const book::Batch& facts_;
  std::size_t first_;  ///< its first order
};

}  // namespace

void expand_works(const Plan& plan, std::uint32_t batch, const SeenInBatch& seen, Expanded& out) {
  WorkExpander(plan, batch, out).run(seen);
}

}  // namespace budwood::plan
