#include <algorithm>
#include <cmath>
#include <functional>
#include <queue>
#include <set>
#include <tuple>

#include "plan/orders/order.hpp"
#include "plan/orders/turns.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"
#include "plan/rooms/room_closures.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

using calendar::Day;
using calendar::days_text;

namespace {

/// Goes through the orders of the rooms that are ever closed, room by room and day by day.
class RoomCloser {
 public:
  explicit RoomCloser(Plan& plan)
      : plan_(plan), working_(plan.book->site.working), shift_(shift_of(plan)) {}

  void run() {
    find_rooms();
    if (queues_.empty()) return;
    for (std::uint32_t i = 0; i < plan_.orders.size(); ++i) {
      const WorkOrder& order = plan_.orders[i];
      if (order.state == OrderState::left_out) continue;
      Queue* queue = queue_of_[plan_.batches[order.batch].sheet][order.stage];
      if (queue != nullptr) queue->push({order.date, i});
    }
    for (auto& [room, queue] : queues_) sweep(room, queue);
    for (const Blocked& one : blocked_) report(one);
    for (const std::uint32_t first : moved_parts_) put_in_order(first);
  }

 private:
  using Entry = std::pair<Day, std::uint32_t>;  ///< a day, and a number in Plan::orders
  using Queue = std::priority_queue<Entry, std::vector<Entry>, std::greater<>>;

  /// Orders of one work for which a closure leaves no day.
  struct Blocked {
    ClosureId closure;
    std::vector<WorkOrder> orders;
    std::optional<int> within;  ///< so many days of `within` would do for all of them
  };

  /// The rooms in which some protocol has a treatment, and the stages that stand in them.
  void find_rooms() {
    for (const sheet::Sheet& sheet : plan_.sheets) {
      for (const language::Stage& stage : sheet.layout().protocol.stages) {
        const bool treats = std::any_of(
            stage.works.begin(), stage.works.end(),
            [](const language::Work& work) { return work.no_entry != language::no_formula; });
        if (treats) queues_[stage.room];
      }
    }
    if (queues_.empty()) return;
    for (const sheet::Sheet& sheet : plan_.sheets) {
      std::vector<Queue*>& queues = queue_of_.emplace_back();
      for (const language::Stage& stage : sheet.layout().protocol.stages) {
        const auto found = queues_.find(stage.room);
        queues.push_back(found == queues_.end() ? nullptr : &found->second);
      }
    }
  }

  const BatchPlan& batch_of(const WorkOrder& order) const { return plan_.batches[order.batch]; }
  const language::Stage& stage_of(const WorkOrder& order) const {
    return plan_.protocol_of(batch_of(order)).stages[order.stage];
  }
  const language::Work& work_of(const WorkOrder& order) const {
    return stage_of(order).works[order.work];
  }
  StageSpan span_of(const WorkOrder& order) const {
    return work_span(plan_.row_of(batch_of(order)), order.stage, order.work);
  }

  /// Orders that move come up again on their new day.
  void sweep(const std::string& room, Queue& queue) {
    while (!queue.empty()) {
      const auto [day, index] = queue.top();
      queue.pop();
      WorkOrder& order = plan_.orders[index];
      const ClosureId closure = plan_.closures.latest(room, day - 1);
      // What is done was done on its day.
      if (!order.done() && closure.known() && closed_on(plan_.closures[closure], day, shift_)) {
        const std::optional<Day> open = open_day(index, plan_.closures[closure]);
        if (open && *open <= latest_day(work_of(order), order.due, span_of(order))) {
          order.date = *open;
          order.held_by = closure;
          if (order.parts > 1) moved_parts_.insert(index - order.part);
          queue.push({order.date, index});
          continue;
        }
        block(closure, order, open);
      }
      close(room, order);
    }
  }

  /// The first day on which the room is open again, people work, and no other part of the same work
  /// is done.
  std::optional<Day> open_day(std::uint32_t index, const RoomClosure& closure) const {
    const bool any_day = work_of(plan_.orders[index]).crew.empty();
    Day day = open_from(closure, shift_);
    while (true) {
      const auto next = any_day ? std::optional(day) : working_.days().next(day);
      if (!next || !is_taken(index, *next)) return next;
      day = *next + 1;
    }
  }

  bool is_taken(std::uint32_t index, Day day) const {
    const std::uint32_t first = index - plan_.orders[index].part;
    for (std::uint32_t i = first; i < first + plan_.orders[index].parts; ++i) {
      if (plan_.orders[i].date == day) return true;
    }
    return false;
  }

  /// Closes the room after an order that is a treatment.
  void close(const std::string& room, const WorkOrder& order) {
    if (const auto closure = closure_after(plan_, order)) plan_.closures.add(room, *closure);
  }

  void block(ClosureId closure, const WorkOrder& order, const std::optional<Day>& open) {
    const auto key = std::tuple(closure, order.batch, order.stage, order.work);
    const auto [place, fresh] = groups_.try_emplace(key, blocked_.size());
    if (fresh) blocked_.push_back({closure, {}, 0});
    Blocked& blocked = blocked_[place->second];
    blocked.orders.push_back(order);
    const language::Timing& timing = work_of(order).timing;
    const bool possible =
        open && *open <= std::max(order.due, span_of(order).last) &&
        (timing.kind != language::Timing::Kind::repeat || *open - order.due < timing.interval);
    if (!possible) {
      blocked.within.reset();
    } else if (blocked.within) {
      blocked.within = std::max(*blocked.within, *open - order.due);
    }
  }

  void report(const Blocked& blocked) {
    const RoomClosure& closure = plan_.closures[blocked.closure];
    const WorkOrder& first = blocked.orders.front();
    const language::Work& work = work_of(first);
    const std::string room = "`" + stage_of(first).room + "`";
    const std::string& id = plan_.facts_of(batch_of(first)).id.value;
    std::string when = "on " + calendar::short_date(first.date);
    if (blocked.orders.size() > 1) {
      when = std::to_string(blocked.orders.size()) + " times from " +
             calendar::short_date(first.date) + " to " +
             calendar::short_date(blocked.orders.back().date);
    }
    Conflict conflict;
    conflict.batch = id;
    add_other(conflict, plan_.facts_of(plan_.batches[closure.batch]).id.value);
    conflict.code = "no-entry";
    conflict.span = work.span;
    conflict.message = "\"" + work.title + "\" of batch " + id + " falls " + when +
                       ", when nobody may enter " + room + ": it is closed until " +
                       opening_text(closure) + " after " + treatment_text(plan_, closure) + " on " +
                       calendar::short_date(closure.day) + ".";
    const language::Work& treatment =
        plan_.protocol_of(plan_.batches[closure.batch]).stages[closure.stage].works[closure.work];
    conflict.facts.push_back({"This work closes " + room + ".", treatment.span});
    conflict.repairs = repairs_of(blocked);
    plan_.conflicts.push_back(std::move(conflict));
  }

  /// From the treatment to the first day on which people come in again.
  int days_closed(const RoomClosure& closure) const {
    return open_from(closure, shift_) - closure.day;
  }

  /// Whether a room that is closed from the evening of an order on would keep the same work out on
  /// another day again.
  bool comes_again(const WorkOrder& order, int days) const {
    const auto key = [](const WorkOrder& one) { return std::tie(one.batch, one.stage, one.work); };
    const auto same =
        std::equal_range(plan_.orders.begin(), plan_.orders.end(), order,
                         [&](const WorkOrder& a, const WorkOrder& b) { return key(a) < key(b); });
    const Day open = order.date + days;
    return std::any_of(same.first, same.second, [&](const WorkOrder& one) {
      return one.date > order.date && one.date < open &&
             latest_day(work_of(one), one.due, span_of(one)) < open;
    });
  }

  std::vector<Repair> repairs_of(const Blocked& blocked) const {
    const RoomClosure& closure = plan_.closures[blocked.closure];
    const WorkOrder& first = blocked.orders.front();
    const std::string title = "\"" + work_of(first).title + "\"";
    const std::string treatment = treatment_text(plan_, closure);
    const bool same_stage = closure.batch == first.batch && closure.stage == first.stage;
    std::vector<Repair> out;
    if (blocked.within) {
      out.push_back({"Let " + title + " be late: `within " + days_text(*blocked.within) + "`."});
    }
    const bool own = same_stage && closure.work == first.work;
    if (own && first.parts > 1) {
      out.push_back({"Have enough people for " + title + " to be done in one day."});
    } else if (own) {
      out.push_back({"Leave " + days_text(days_closed(closure)) + " from one " + title +
                     " to the next, so that the room is open again."});
    } else if (blocked.orders.size() == 1 && !comes_again(first, days_closed(closure))) {
      out.push_back({"Move " + treatment + " to " + calendar::short_date(first.date) +
                     ", as the last work of that day."});
    } else {
      out.push_back({"Leave " + title + " out on " +
                     (blocked.orders.size() == 1 ? "this day" : "these days") + ", or move " +
                     treatment + " to a day after which nobody has to come in."});
    }
    if (!same_stage) {
      out.push_back({"Let `" + stage_of(first).name + "` of batch " +
                     plan_.facts_of(batch_of(first)).id.value + " stand in another room."});
    }
    return out;
  }

  /// Parts of one work have equal shares and are counted by their days.
  void put_in_order(std::uint32_t first) {
    const auto begin = plan_.orders.begin() + first;
    const auto end = begin + begin->parts;
    std::sort(begin, end, [](const WorkOrder& a, const WorkOrder& b) { return a.date < b.date; });
    std::uint16_t part = 0;
    for (auto order = begin; order != end; ++order) order->part = part++;
  }

  Plan& plan_;
  const calendar::WorkingDays& working_;
  const Shift shift_;
  std::map<std::string, Queue> queues_;        ///< by room
  std::vector<std::vector<Queue*>> queue_of_;  ///< by sheet and stage; nullptr: never closed
  std::vector<Blocked> blocked_;               ///< in the order in which they were found
  std::map<std::tuple<ClosureId, std::uint32_t, language::StageId, language::WorkId>, std::size_t>
      groups_;                           ///< of `blocked_`: closure, batch, stage, work
  std::set<std::uint32_t> moved_parts_;  ///< by the first part, in Plan::orders
};

}  // namespace

void close_rooms(Plan& plan) {
  RoomCloser(plan).run();
}

}  // namespace budwood::plan
