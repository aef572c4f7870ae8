#include "plan/orders/choose_days.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "book/book.hpp"
#include "plan/orders/order.hpp"
#include "plan/orders/turns.hpp"
#include "plan/plan.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

class DayChooser {
 public:
  explicit DayChooser(Plan& plan) : plan_(plan), book_(*plan.book) {}

  void run() {
    for (const WorkOrder& order : plan_.orders) {
      if (order.state != OrderState::left_out) add(order, person_seconds(plan_, order));
    }
    for (WorkOrder& order : plan_.orders) {
      if (may_choose(order)) choose(order);
    }
  }

 private:
  using Hours = std::map<Day, double>;  ///< seconds of work by day

  const language::Work& work_of(const WorkOrder& order) const {
    return plan_.protocol_of(plan_.batches[order.batch]).stages[order.stage].works[order.work];
  }

  void add(const WorkOrder& order, double seconds) {
    if (!std::isnan(seconds)) taken_[crew_of(plan_, order)][order.date] += seconds;
  }

  bool may_choose(const WorkOrder& order) const {
    const BatchPlan& batch = plan_.batches[order.batch];
    return work_of(order).timing.any_day && order.state == OrderState::open && order.parts == 1 &&
           !order.on_duty && !batch.levelled;
  }

  void choose(WorkOrder& order) {
    const double wanted = person_seconds(plan_, order);
    const std::vector<Day> days = days_left(order);
    if (!days.empty()) put_on(order, day_with_hours(order, days, wanted), wanted);
  }

  /// The days on which what was not done yet can be done. When all of them are over it stands on
  /// the last one, from which on it is overdue.
  std::vector<Day> days_left(const WorkOrder& order) const {
    const Day last = last_day_of(plan_, order);
    std::vector<Day> days;
    for (Day day = order.date; day <= last; ++day) {
      if (work_of(order).crew.empty() || book_.site.working.days().contains(day)) {
        days.push_back(day);
      }
    }
    if (days.empty() || !book_.today) return days;
    const auto over = std::lower_bound(days.begin(), days.end(), *book_.today);
    if (over == days.end()) return {days.back()};
    days.erase(days.begin(), over);
    return days;
  }

  /// Of some days the first one on which the crew has the hours, else the one on which most is
  /// left of them.
  Day day_with_hours(const WorkOrder& order, const std::vector<Day>& days, double wanted) {
    const language::Work& work = work_of(order);
    const auto crew = book_.site.crews.find(work.crew);
    if (crew == book_.site.crews.end() || !(wanted > 0)) return days.front();
    const Hours& taken = taken_[work.crew];
    Day best = days.front();
    std::optional<double> most;
    for (const Day day : days) {
      const auto busy = taken.find(day);
      const double others =
          (busy == taken.end() ? 0 : busy->second) - (day == order.date ? wanted : 0);
      const double left = crew->second.person_seconds(day, book_.site.working) - others;
      if (left >= wanted - units::slack(left, wanted)) return day;
      if (!most || left > *most + units::slack(left, *most)) {
        best = day;
        most = left;
      }
    }
    return best;
  }

  void put_on(WorkOrder& order, Day day, double seconds) {
    if (day == order.date) return;
    add(order, -seconds);
    order.date = day;
    add(order, seconds);
  }

  Plan& plan_;
  const book::Book& book_;
  std::map<std::string, Hours> taken_;  ///< by crew
};

/// Orders of one stage of one batch stand together, work by work.
class Follower {
 public:
  explicit Follower(Plan& plan) : plan_(plan) {}

  void run() {
    for (std::size_t begin = 0; begin < plan_.orders.size();) {
      std::size_t end = begin;
      while (end < plan_.orders.size() && together(plan_.orders[begin], plan_.orders[end])) ++end;
      follow(begin, end);
      begin = end;
    }
  }

 private:
  static bool together(const WorkOrder& a, const WorkOrder& b) {
    return a.batch == b.batch && a.stage == b.stage;
  }

  const language::List<language::Work>& works_of(const WorkOrder& order) const {
    return plan_.protocol_of(plan_.batches[order.batch]).stages[order.stage].works;
  }

  /// In the order in which the works follow each other, so that what comes first has its day.
  void follow(std::size_t begin, std::size_t end) {
    const auto& works = works_of(plan_.orders[begin]);
    const bool any = std::any_of(works.begin(), works.end(), [](const language::Work& work) {
      return !work.timing.hours.after.empty();
    });
    if (!any) return;
    std::vector<std::size_t> order;
    for (std::size_t i = begin; i < end; ++i) {
      if (!works[plan_.orders[i].work].timing.hours.after.empty()) order.push_back(i);
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return works[plan_.orders[a].work].place < works[plan_.orders[b].work].place;
    });
    for (const std::size_t i : order) {
      WorkOrder& one = plan_.orders[i];
      if (one.settled()) continue;
      for (const language::WorkId before : works[one.work].timing.hours.after) {
        if (const auto day = day_after(begin, end, before, one)) move(one, *day);
      }
    }
  }

  /// The first day that the last turn before an order leaves to it.
  std::optional<Day> day_after(std::size_t begin, std::size_t end, language::WorkId before,
                               const WorkOrder& order) const {
    std::optional<Day> out;
    for (std::size_t i = begin; i < end; ++i) {
      const WorkOrder& one = plan_.orders[i];
      if (one.work != before || one.due > order.due || one.state == OrderState::left_out) continue;
      const bool overnight = works_of(one)[before].timing.hours.overnight;
      out = std::max(out.value_or(one.date), one.date + (overnight ? 1 : 0));
    }
    return out;
  }

  void move(WorkOrder& order, Day day) const {
    if (order.date >= day) return;
    const bool crew = !works_of(order)[order.work].crew.empty();
    order.date = crew ? plan_.book->site.working.days().next(day).value_or(day) : day;
  }

  Plan& plan_;
};

}  // namespace

void choose_days(Plan& plan) {
  const auto says = [](const sheet::Sheet& sheet, auto test) {
    const auto& stages = sheet.layout().protocol.stages;
    return std::any_of(stages.begin(), stages.end(), [&](const language::Stage& stage) {
      return std::any_of(stage.works.begin(), stage.works.end(), test);
    });
  };
  const auto any = [&](auto test) {
    return std::any_of(plan.sheets.begin(), plan.sheets.end(),
                       [&](const sheet::Sheet& sheet) { return says(sheet, test); });
  };
  if (any([](const language::Work& work) { return work.timing.any_day; })) DayChooser(plan).run();
  if (any([](const language::Work& work) { return !work.timing.hours.after.empty(); })) {
    Follower(plan).run();
  }
}

}  // namespace budwood::plan
