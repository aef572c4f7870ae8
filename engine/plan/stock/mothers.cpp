#include "plan/stock/mothers.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "book/stock/supplies.hpp"
#include "plan/needs/needs_counter.hpp"
#include "plan/needs/recorded_stock.hpp"
#include "plan/needs/supply_terms.hpp"
#include "plan/plan.hpp"
#include "plan/stock/named.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using book::Mothers;
using calendar::Day;
using calendar::short_date;

/// So many later rounds are looked at for one that has enough.
constexpr int most_rounds_ahead = 60;

Day monday_of(Day day) {
  return day - static_cast<int>(calendar::weekday(day));
}

/// The round in which mothers are on a day; -1 when they give nothing then.
int round_on(const Mothers& mothers, Day day) {
  const bool gives = day >= mothers.from.value && (!mothers.until || day <= mothers.until->value);
  return gives ? (day - mothers.from.value) / mothers.every : -1;
}

Day start_of(const Mothers& mothers, int round) {
  return mothers.from.value + round * mothers.every;
}

bool has_round(const Mothers& mothers, int round) {
  return round >= 0 && (!mothers.until || start_of(mothers, round) <= mothers.until->value);
}

/// What all plants of some mothers give in a round, base units.
double whole_round(const Plan& plan, const std::string& name) {
  return units::round_down(plan.mothers.each.at(name) *
                           static_cast<double>(plan.book->site.mothers.at(name).plants));
}

/// Takes of mothers what the orders of a plan use, in the order of the days.
class MotherTaker {
 public:
  MotherTaker(Plan& plan, text::Diagnostics& diagnostics)
      : plan_(plan), site_(plan.book->site), record_(plan), diagnostics_(diagnostics) {}

  void run() {
    check_supplies();
    if (plan_.mothers.each.empty()) return;
    std::vector<std::uint32_t> orders;
    for (std::uint32_t i = 0; i < plan_.orders.size(); ++i) {
      const WorkOrder& order = plan_.orders[i];
      if (order.state != OrderState::left_out && !is_missed(plan_, order)) orders.push_back(i);
    }
    const Needs needs = NeedsCounter(plan_).count(orders);
    for (const SupplyNeed& need : needs.supplies) {
      if (!given_.contains(need.supply)) continue;
      for (const Taking& taking : need.takings) take(need, taking);
    }
    std::stable_sort(plan_.mothers.takings.begin(), plan_.mothers.takings.end(),
                     [](const auto& one, const auto& other) { return one.day < other.day; });
    for (std::uint32_t i = 0; i < plan_.mothers.takings.size(); ++i) {
      plan_.mothers.by_batch[plan_.mothers.takings[i].batch].push_back(i);
    }
    find_shortages();
    for (const MotherShortage& one : plan_.mothers.shortages) tell(one);
    tell_age();
  }

 private:
  /// Mothers whose supply the protocols have, with what a plant gives in base units.
  void check_supplies() {
    const auto known = supplies_of(plan_);
    for (const auto& [name, mothers] : site_.mothers) {
      const auto supply = known.find(mothers.of.value);
      if (supply == known.end()) {
        book::report_unknown_supply(known, plan_.book->left_out, mothers.of, diagnostics_);
        continue;
      }
      const auto each =
          written_amount(mothers.gives, *supply->second, supply->second->pack, diagnostics_);
      if (!each) continue;
      plan_.mothers.each[name] = *each;
      given_.insert(mothers.of.value);
      supplies_[mothers.of.value] = supply->second;
    }
  }

  void take(const SupplyNeed& need, const Taking& taking) {
    const WorkOrder& order = plan_.orders[taking.order];
    const book::Batch& batch = plan_.facts_of(plan_.batches[order.batch]);
    const Named named = named_in(batch, need.supply, site_);
    if (named.said && named.names.empty()) return;  // it has material of its own
    if (taking_of(plan_, order.batch, order.stage, need.supply) != nullptr) return;
    double rest = record_.noted(taking, need).value_or(taking.amount);
    MotherTaking one;
    one.order = taking.order;
    one.batch = order.batch;
    one.supply = need.supply;
    one.day = taking.day;
    one.done = order.done();
    std::vector<std::string> candidates;
    for (const auto& [name, each] : plan_.mothers.each) {
      const Mothers& mothers = site_.mothers.at(name);
      if (mothers.of.value == need.supply && named.takes(name, mothers.cultivar, batch.cultivar)) {
        candidates.push_back(name);
      }
    }
    for (const std::string& name : candidates) {
      const int round = round_on(site_.mothers.at(name), taking.day);
      if (round < 0) continue;
      double& used = used_[{name, round}];
      const double there = std::min(rest, std::max(0.0, whole_round(plan_, name) - used));
      if (!(there > 0)) continue;
      used += there;
      rest -= there;
      one.mothers = name;
      one.round = round;
      one.amount = there;
      plan_.mothers.takings.push_back(one);
    }
    if (!(rest > units::slack(rest, taking.amount))) return;
    one.mothers.clear();
    one.round = -1;
    one.amount = rest;
    one.wanted_of = candidates.empty() ? "" : candidates.front();
    plan_.mothers.takings.push_back(std::move(one));
  }

  void find_shortages() {
    std::map<std::tuple<Day, std::string, std::string>, MotherShortage> by_week;
    for (const MotherTaking& one : plan_.mothers.takings) {
      if (!one.mothers.empty() || one.wanted_of.empty() || one.done) continue;
      const Day monday = monday_of(one.day);
      MotherShortage& shortage = by_week[{monday, one.wanted_of, one.supply}];
      shortage.mothers = one.wanted_of;
      shortage.supply = one.supply;
      shortage.monday = monday;
      shortage.missing += one.amount;
      if (shortage.batches.empty()) shortage.day = one.day;
      if (std::find(shortage.batches.begin(), shortage.batches.end(), one.batch) ==
          shortage.batches.end()) {
        shortage.batches.push_back(one.batch);
      }
    }
    for (auto& [week, shortage] : by_week) {
      say_what_helps(shortage);
      plan_.mothers.shortages.push_back(std::move(shortage));
    }
  }

  void say_what_helps(MotherShortage& shortage) const {
    const std::string& name = shortage.mothers;
    const Mothers& mothers = site_.mothers.at(name);
    const int round = round_on(mothers, shortage.day);
    const double full = whole_round(plan_, name);
    if (round >= 0) {
      shortage.wanted = used_of(name, round);
      for (const MotherTaking& one : plan_.mothers.takings) {
        const bool here = one.mothers.empty() && one.wanted_of == name && !one.done;
        if (here && round_on(mothers, one.day) == round) shortage.wanted += one.amount;
      }
      shortage.keep =
          static_cast<std::int64_t>(units::round_up(shortage.wanted / plan_.mothers.each.at(name)));
      if (mothers.first_after) shortage.plant = start_of(mothers, round) - *mothers.first_after;
    }
    const int next = round >= 0                          ? round + 1
                     : shortage.day < mothers.from.value ? 0
                                                         : most_rounds_ahead;
    for (int later = next; later < next + most_rounds_ahead; ++later) {
      if (!has_round(mothers, later) || round + 1 > later) break;
      if (full - used_of(name, later) < shortage.missing) continue;
      shortage.enough = start_of(mothers, later);
      return;
    }
  }

  double used_of(const std::string& name, int round) const {
    const auto found = used_.find({name, round});
    return found == used_.end() ? 0 : found->second;
  }

  std::string amount_text(const std::string& supply, double amount) const {
    return units::format(amount, supplies_.at(supply)->unit);
  }

  void tell(const MotherShortage& one) {
    const Mothers& mothers = site_.mothers.at(one.mothers);
    Conflict conflict;
    conflict.code = "short-mothers";
    conflict.span = mothers.span;
    for (const std::uint32_t batch : one.batches) {
      const std::string& id = plan_.facts_of(plan_.batches[batch]).id.value;
      if (conflict.batch.empty()) {
        conflict.batch = id;
      } else {
        add_other(conflict, id);
      }
    }
    const std::string week = calendar::iso_week_text(one.monday);
    conflict.message = "The mother plants `" + one.mothers + "` give " +
                       amount_text(one.supply, one.missing) + " too few in " + week + ".";
    for (const MotherTaking& taking : plan_.mothers.takings) {
      const bool here = taking.mothers == one.mothers || taking.wanted_of == one.mothers;
      if (!here || monday_of(taking.day) != one.monday) continue;
      const book::Batch& batch = plan_.facts_of(plan_.batches[taking.batch]);
      conflict.facts.push_back(
          {batch.id.value + (taking.mothers.empty() ? " still wants " : " takes ") +
               amount_text(taking.supply, taking.amount) + " on " + short_date(taking.day) + ".",
           batch.span});
    }
    conflict.repairs = repairs_of(one, mothers);
    plan_.conflicts.push_back(std::move(conflict));
  }

  std::vector<Repair> repairs_of(const MotherShortage& one, const Mothers& mothers) const {
    std::vector<Repair> out;
    if (one.keep) {
      std::string text = "Keep " + std::to_string(*one.keep) + " of them, " +
                         std::to_string(*one.keep - mothers.plants) + " more";
      if (one.plant) text += ", planted by " + short_date(*one.plant);
      out.push_back({text + ".", "site." + one.mothers + ".plants=" + std::to_string(*one.keep)});
    } else if (one.day < mothers.from.value) {
      out.push_back({"They give from " + short_date(mothers.from.value) + " on: start later.", ""});
    } else {
      out.push_back({"They give nothing after " + short_date(mothers.until->value) +
                         ": start earlier, or keep them longer.",
                     ""});
    }
    if (one.enough) {
      out.push_back({"From " + short_date(*one.enough) + " (" +
                         calendar::iso_week_text(*one.enough) +
                         ") on there are enough: take what is missing then.",
                     ""});
    }
    out.push_back({"Buy " + amount_text(one.supply, one.missing) + " elsewhere.", ""});
    return out;
  }

  void tell_age() {
    std::set<std::string> told;
    for (const MotherTaking& one : plan_.mothers.takings) {
      if (one.mothers.empty() || one.done || told.contains(one.mothers)) continue;
      const Mothers& mothers = site_.mothers.at(one.mothers);
      const auto old = renewal_of(mothers);
      if (!old || one.day < *old) continue;
      told.insert(one.mothers);
      std::string advice = "Plant new ones";
      if (mothers.first_after) {
        advice += " by " + short_date(*old - *mothers.first_after) + ", so that they give by then";
      }
      diagnostics_.warning("old-mothers", mothers.planted->span,
                           "The mother plants `" + one.mothers + "` are to be renewed by " +
                               short_date(*old) + "; " +
                               plan_.facts_of(plan_.batches[one.batch]).id.value +
                               " takes of them on " + short_date(one.day) + ".",
                           advice + ".");
    }
  }

  Plan& plan_;
  const book::Site& site_;
  RecordedStock record_;
  text::Diagnostics& diagnostics_;
  std::set<std::string> given_;  ///< supplies
  std::map<std::string, const language::Supply*> supplies_;
  std::map<std::pair<std::string, int>, double> used_;  ///< by mothers and round
};

/// The weeks of some mothers in which batches take of them, or want to.
class WeekCounter {
 public:
  WeekCounter(const Plan& plan, const std::string& name)
      : plan_(plan), name_(name), mothers_(plan.book->site.mothers.at(name)) {
    for (const MotherTaking& one : plan.mothers.takings) {
      if (one.mothers != name && one.wanted_of != name) continue;
      takings_.push_back(&one);
    }
  }

  void add_to(std::vector<MotherWeek>& weeks) const {
    if (takings_.empty()) return;
    const Day last = monday_of(takings_.back()->day);
    for (Day monday = monday_of(takings_.front()->day); monday <= last; monday += 7) {
      weeks.push_back(week(monday));
    }
  }

 private:
  MotherWeek week(Day monday) const {
    MotherWeek out{name_, mothers_.of.value, monday, 0, 0, 0};
    for (const MotherTaking* one : takings_) {
      if (monday_of(one->day) != monday) continue;
      (one->mothers.empty() ? out.missing : out.taken) += one->amount;
    }
    const int first = std::max(0, round_on(mothers_, std::max(monday, mothers_.from.value)));
    for (int round = first; has_round(mothers_, round); ++round) {
      const Day start = start_of(mothers_, round);
      if (start > monday + 6) break;
      const bool over = mothers_.until && monday > mothers_.until->value;
      if (!over) out.there += whole_round(plan_, name_) - taken_before(round, monday);
    }
    return out;
  }

  double taken_before(int round, Day monday) const {
    double out = 0;
    for (const MotherTaking* one : takings_) {
      if (!one->mothers.empty() && one->round == round && one->day < monday) out += one->amount;
    }
    return out;
  }

  const Plan& plan_;
  const std::string& name_;
  const Mothers& mothers_;
  std::vector<const MotherTaking*> takings_;  ///< by day
};

}  // namespace

void take_from_mothers(Plan& plan, text::Diagnostics& diagnostics) {
  if (!plan.book->site.mothers.empty()) MotherTaker(plan, diagnostics).run();
}

std::vector<MotherWeek> mother_weeks(const Plan& plan) {
  std::vector<MotherWeek> out;
  for (const auto& [name, mothers] : plan.book->site.mothers) {
    WeekCounter(plan, name).add_to(out);
  }
  return out;
}

std::optional<Day> renewal_of(const Mothers& mothers) {
  if (!mothers.planted || !mothers.renew_after) return std::nullopt;
  return mothers.planted->value + *mothers.renew_after;
}

std::vector<std::string> supplies_from_mothers(const Plan& plan, std::uint32_t batch) {
  std::set<std::string> out;
  const auto found = plan.mothers.by_batch.find(batch);
  if (found == plan.mothers.by_batch.end()) return {};
  for (const std::uint32_t i : found->second) {
    const MotherTaking& one = plan.mothers.takings[i];
    if (!one.mothers.empty()) out.insert(one.supply);
  }
  return {out.begin(), out.end()};
}

std::string mothers_text(const Plan& plan, std::uint32_t batch, const std::string& supply) {
  std::vector<std::string> names;
  const auto found = plan.mothers.by_batch.find(batch);
  if (found == plan.mothers.by_batch.end()) return "";
  for (const std::uint32_t i : found->second) {
    const MotherTaking& one = plan.mothers.takings[i];
    if (one.supply != supply || one.mothers.empty()) continue;
    const auto& generation = plan.book->site.mothers.at(one.mothers).generation;
    std::string text = one.mothers;
    if (generation) text += " (generation " + std::to_string(generation->value) + ")";
    if (std::find(names.begin(), names.end(), text) == names.end()) names.push_back(text);
  }
  return names.empty() ? "" : text::list_words(names);
}

}  // namespace budwood::plan
