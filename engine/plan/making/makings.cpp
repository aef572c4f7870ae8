#include "plan/making/makings.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using language::Recipe;

constexpr double usual_shift = 8 * units::seconds_an_hour;
constexpr double most_portions = 1440;  ///< a day: nobody makes a thing anew every minute

/// Whole days for which it keeps after that on which it is made; none: as long as one likes.
std::optional<Day> days_kept(const Recipe& recipe) {
  if (!recipe.keeps) return std::nullopt;
  return static_cast<Day>(std::floor(*recipe.keeps / units::seconds_a_day));
}

double shift_of(const book::Site& site) {
  if (!site.hours) return usual_shift;
  constexpr double a_minute = 60;
  return (site.hours->to - site.hours->from) * a_minute;
}

/// Shares of a total by what each use takes of it; what is counted stays whole.
std::vector<double> shares_of(const Making& making, double total, bool whole) {
  std::vector<double> out;
  double used = 0;
  double before = 0;
  for (const MadeFor& use : making.uses) {
    used += use.amount;
    const double share = total * used / making.needed;
    const double up_to = whole ? std::min(total, units::round_up(share)) : share;
    out.push_back(up_to - before);
    before = up_to;
  }
  return out;
}

class MixMaker {
 public:
  MixMaker(const Plan& plan, Needs& needs) : plan_(plan), needs_(needs) {}

  std::vector<Making> run() {
    for (std::uint32_t i = 0; i < plan_.recipes.size(); ++i) make(i);
    put_in_order();
    return std::move(makings_);
  }

 private:
  Day today_or(Day day) const {
    return plan_.book->today ? std::max(day, *plan_.book->today) : day;
  }

  void make(std::uint32_t number) {
    const BookRecipe& of = plan_.recipes[number];
    SupplyNeed* need = find_supply(needs_, of.supply().name);
    if (need == nullptr || need->takings.empty()) return;
    std::stable_sort(need->takings.begin(), need->takings.end(),
                     [](const Taking& a, const Taking& b) {
                       return std::tie(a.day, a.order) < std::tie(b.day, b.order);
                     });
    const std::size_t first = makings_.size();
    left_ = 0;
    take_stock(*of.recipe, *need);
    for (const Taking& taking : need->takings) {
      if (taking.made > 0) add(number, taking, first);
    }
    if (makings_.size() > first) finish(makings_.back());
    // What was begun for uses that what is over covers is none.
    std::erase_if(makings_, [](const Making& one) { return one.amount <= 0; });
    need->made = SupplyNeed::Made{};
    for (std::size_t i = first; i < makings_.size(); ++i) {
      need->made->amount += makings_[i].amount;
      need->made->times += makings_[i].portions;
      take_parts(static_cast<std::int32_t>(i));
    }
  }

  /// What is on hand goes first, as far as it keeps.
  void take_stock(const Recipe& recipe, SupplyNeed& need) const {
    const auto kept = days_kept(recipe);
    double there = need.terms.on_hand;
    for (Taking& taking : need.takings) {
      const bool good =
          !kept || (plan_.book->today ? taking.day <= *plan_.book->today + *kept : *kept > 0);
      const double of_stock = good ? std::min(there, taking.amount) : 0;
      there -= of_stock;
      taking.made = taking.amount - of_stock;
      if (taking.made <= units::slack(taking.amount, of_stock)) taking.made = 0;
    }
  }

  void add(std::uint32_t number, const Taking& taking, std::size_t first) {
    const Recipe& recipe = *plan_.recipes[number].recipe;
    const Day day = today_or(taking.day);
    const Day date = date_for(recipe, day);
    const auto kept = days_kept(recipe);
    const bool open = makings_.size() > first;
    const bool good = open && (makings_.back().date == date ||
                               (kept && *kept > 0 && day <= makings_.back().date + *kept));
    if (!good) {
      if (open) finish(makings_.back());
      Making fresh;
      fresh.recipe = number;
      fresh.date = date;
      makings_.push_back(std::move(fresh));
    }
    makings_.back().needed += taking.made;
    makings_.back().uses.push_back({taking.order, taking.day, taking.made, taking.making});
  }

  /// The latest day that is early enough, on which somebody is there, and from which on it keeps.
  Day date_for(const Recipe& recipe, Day use) const {
    constexpr Day far = 30;
    const auto kept = days_kept(recipe);
    const Day wanted = use - recipe.before;
    const Day earliest = kept ? use - *kept : wanted - far;
    const auto good = [&](Day day) {
      return recipe.crew.empty() || plan_.book->site.working.works(day);
    };
    for (Day day = wanted; day >= earliest; --day) {
      if (good(day)) return today_or(day);
    }
    for (Day day = wanted + 1; day <= use; ++day) {
      if (good(day)) return today_or(day);
    }
    return today_or(wanted);
  }

  /// How long people are at the work that uses of it, by the clock.
  double used_for(const Making& making) const {
    double out = 0;
    for (const MadeFor& use : making.uses) {
      if (use.into >= 0) continue;
      const WorkOrder& order = plan_.orders[use.order];
      const sheet::Row row = plan_.row_of(plan_.batches[order.batch]);
      double people = row.value(row.cells(order.stage, order.work).people, 0);
      const auto crew = plan_.book->site.crews.find(crew_of(plan_, order));
      if (!(people > 0) && crew != plan_.book->site.crews.end()) people = crew->second.people;
      const double seconds = person_seconds(plan_, order);
      if (seconds > 0) out += seconds / std::max(1.0, people);
    }
    return std::min(out, shift_of(plan_.book->site));
  }

  void finish(Making& making) {
    const Recipe& recipe = *plan_.recipes[making.recipe].recipe;
    const double wanted = std::max(0.0, making.needed - left_);
    if (wanted <= units::slack(making.needed, left_)) {
      left_ = std::max(0.0, left_ - making.needed);
      return;
    }
    if (recipe.keeps && *recipe.keeps < units::seconds_a_day) {
      const double fresh = units::round_up(used_for(making) / *recipe.keeps);
      making.portions = static_cast<int>(std::clamp(fresh, 1.0, most_portions));
    }
    making.amount =
        making.portions * recipe.vessel * units::round_up(wanted / making.portions / recipe.vessel);
    making.seconds = recipe.setup * making.portions + recipe.time * making.amount / recipe.makes;
    making.left_keeps = !recipe.keeps;
    left_ = recipe.keeps ? 0 : left_ + making.amount - making.needed;
  }

  void take_parts(std::int32_t index) {
    Making& making = makings_[static_cast<std::size_t>(index)];
    const BookRecipe& of = plan_.recipes[making.recipe];
    for (std::size_t part = 0; part < of.recipe->of.size(); ++part) {
      const language::Supply& supply = of.part(part);
      SupplyNeed& need = *find_supply(needs_, supply.name);
      const double scrap = need.terms.scrap.value_or(supply.scrap);
      const bool counted = supply.unit.dimension == units::count;
      const double good = of.recipe->of[part].amount * making.amount / of.recipe->makes;
      const double total = counted ? units::round_up(good / (1 - scrap)) : good / (1 - scrap);
      making.of.push_back(total);
      const std::vector<double> shares = shares_of(making, total, counted);
      for (std::size_t i = 0; i < making.uses.size(); ++i) {
        if (!(shares[i] > 0)) continue;
        Taking taking;
        taking.order = making.uses[i].order;
        taking.use = static_cast<std::uint16_t>(part);
        taking.making = index;
        taking.day = making.date;
        taking.amount = shares[i];
        taking.spoilt = scrap * shares[i];
        need.takings.push_back(taking);
      }
    }
    take_time(index);
  }

  void take_time(std::int32_t index) {
    const Making& making = makings_[static_cast<std::size_t>(index)];
    const std::string& crew = plan_.recipes[making.recipe].recipe->crew;
    const auto found = std::find_if(needs_.crews.begin(), needs_.crews.end(),
                                    [&](const auto& one) { return one.crew == crew; });
    for (const Labour& one : labour_of(making, index)) found->labour.push_back(one);
  }

  /// Makings by day; what was noted of their places follows.
  void put_in_order() {
    std::vector<std::int32_t> order(makings_.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = static_cast<std::int32_t>(i);
    // On one day what goes into another comes before it.
    const auto rank = [&](std::int32_t i) {
      const Making& one = makings_[static_cast<std::size_t>(i)];
      return std::tuple(one.date, -static_cast<std::int64_t>(one.recipe));
    };
    std::stable_sort(order.begin(), order.end(),
                     [&](std::int32_t a, std::int32_t b) { return rank(a) < rank(b); });
    std::vector<std::int32_t> place(order.size());
    std::vector<Making> sorted;
    for (std::size_t i = 0; i < order.size(); ++i) {
      place[static_cast<std::size_t>(order[i])] = static_cast<std::int32_t>(i);
      sorted.push_back(std::move(makings_[static_cast<std::size_t>(order[i])]));
    }
    makings_ = std::move(sorted);
    const auto move = [&](std::int32_t& making) {
      if (making >= 0) making = place[static_cast<std::size_t>(making)];
    };
    for (Making& one : makings_) {
      for (MadeFor& use : one.uses) move(use.into);
    }
    for (SupplyNeed& need : needs_.supplies) {
      for (Taking& taking : need.takings) move(taking.making);
      std::stable_sort(need.takings.begin(), need.takings.end(),
                       [](const Taking& a, const Taking& b) {
                         return std::tie(a.day, a.order) < std::tie(b.day, b.order);
                       });
    }
    for (CrewNeed& need : needs_.crews) {
      for (Labour& labour : need.labour) move(labour.making);
      std::stable_sort(need.labour.begin(), need.labour.end(),
                       [](const Labour& a, const Labour& b) { return a.day < b.day; });
    }
  }

  const Plan& plan_;
  Needs& needs_;
  std::vector<Making> makings_;
  double left_ = 0;  ///< of the recipe that is being gone through, what is over and keeps
};

}  // namespace

std::vector<Labour> labour_of(const Making& making, std::int32_t index) {
  std::vector<Labour> out;
  if (!(making.seconds > 0)) return out;
  const std::vector<double> shares = shares_of(making, making.seconds, false);
  for (std::size_t i = 0; i < making.uses.size(); ++i) {
    out.push_back({making.uses[i].order, shares[i], making.date, index});
  }
  return out;
}

std::vector<Making> make_mixes(const Plan& plan, Needs& needs) {
  if (plan.recipes.empty()) return {};
  return MixMaker(plan, needs).run();
}

}  // namespace budwood::plan
