#include "plan/level/level_helps.hpp"

#include <algorithm>
#include <limits>
#include <set>
#include <tuple>

#include "plan/level/beside.hpp"
#include "plan/level/level_relief.hpp"

namespace budwood::plan {

using calendar::Day;
using levelling::Amount;
using levelling::GroupId;
using levelling::ResourceId;
using Kind = LevelProblem::Named::Kind;

namespace {

/// As many as are looked at, of those without a place and of those that are late.
constexpr std::size_t most_wanting = 24;
constexpr std::size_t most_helps = 8;
/// What is missing within so many days is missing at one time.
constexpr Day one_time = 7;

std::string span_text(Day first, Day last) {
  if (first == last) return "on " + calendar::short_date(first);
  return "from " + calendar::short_date(first) + " to " + calendar::short_date(last);
}

/// Adds hours of a crew, with their price if the book knows it.
void add_hours(const Plan& plan, const std::string& crew, bool duty, double seconds,
               std::pair<Day, Day> days, Help& help) {
  help.more.push_back({crew, false, duty, seconds, days.first, days.second});
  help.change += (help.change.empty() ? "" : " and ") + hours_text(seconds) +
                 (duty ? " more of " : " overtime of ") + crew_text(crew, duty) + " " +
                 span_text(days.first, days.second);
  const auto found = plan.book->site.crews.find(crew);
  if (found == plan.book->site.crews.end() || !found->second.cost) {
    help.price.reset();
  } else if (help.price) {
    constexpr double hour = 3600;
    *help.price += found->second.cost->value * seconds / hour;
  }
}

class HelpFinder {
 public:
  HelpFinder(const LevelProblem& levelled, const levelling::Schedule& schedule,
             const std::vector<bool>& placed, const Plan& plan)
      : levelled_(levelled), schedule_(schedule), placed_(placed), plan_(plan) {}

  std::vector<Help> run(const std::vector<GroupId>& order) {
    find_wanting(order);
    for (const GroupId g : wanting_) {
      const Beside beside(levelled_, schedule_, placed_, {g});
      missing_.push_back(beside.missing(placed_[g]));
      if (placed_[g]) continue;
      if (const auto days = beside.days_later()) add_later(g, *days);
    }
    for (ResourceId r = 0; r < levelled_.problem().resources.size(); ++r) {
      if (levelled_.name_of(r).kind != Kind::apart) try_resource(r);
    }
    for (std::size_t i = 0; i < wanting_.size(); ++i) try_group(i);
    return std::move(out_);
  }

 private:
  void find_wanting(const std::vector<GroupId>& order) {
    std::vector<GroupId> late;
    for (const GroupId g : order) {
      if (!placed_[g] && wanting_.size() < most_wanting) wanting_.push_back(g);
      if (placed_[g] && lateness(g) > 0) late.push_back(g);
    }
    std::stable_sort(late.begin(), late.end(),
                     [&](GroupId a, GroupId b) { return lateness(a) > lateness(b); });
    late.resize(std::min(late.size(), most_wanting));
    wanting_.insert(wanting_.end(), late.begin(), late.end());
  }

  long long lateness(GroupId g) const {
    const LevelProblem::Group& group = levelled_.groups()[g];
    const Day days = schedule_.days[group.ready] - group.asked;
    return days > 0 ? static_cast<long long>(days) * group.priority : 0;
  }
  const std::string& id_of(GroupId group) const {
    return plan_.facts_of(plan_.batches[levelled_.groups()[group].batches.front()]).id.value;
  }

  void add_later(GroupId group, Day days) {
    Help help;
    help.change = id_of(group) + " ready " + calendar::days_text(days) + " later than it may be";
    help.price = 0;
    help.places = {id_of(group)};
    out_.push_back(std::move(help));
  }

  /// Those that lack a resource at one time.
  void try_resource(ResourceId resource) {
    std::vector<std::size_t> lacking;
    for (std::size_t i = 0; i < wanting_.size(); ++i) {
      if (missing_[i].contains(resource)) lacking.push_back(i);
    }
    const auto first = [&](std::size_t i) { return missing_[i].at(resource).begin()->first; };
    const auto last = [&](std::size_t i) { return missing_[i].at(resource).rbegin()->first; };
    std::stable_sort(lacking.begin(), lacking.end(),
                     [&](std::size_t a, std::size_t b) { return first(a) < first(b); });
    for (std::size_t begin = 0; begin < lacking.size();) {
      std::size_t end = begin;
      Day until = last(lacking[begin]);
      while (end < lacking.size() && first(lacking[end]) <= until + one_time) {
        until = std::max(until, last(lacking[end++]));
      }
      std::vector<std::size_t> together(lacking.begin() + static_cast<std::ptrdiff_t>(begin),
                                        lacking.begin() + static_cast<std::ptrdiff_t>(end));
      std::sort(together.begin(), together.end());
      try_with(together, {resource});
      begin = end;
    }
  }

  /// All that one lacks, where that is more than one thing.
  void try_group(std::size_t index) {
    std::vector<ResourceId> resources;
    for (const auto& [resource, days] : missing_[index]) {
      if (levelled_.name_of(resource).kind == Kind::apart) return;
      resources.push_back(resource);
    }
    if (resources.size() > 1) try_with({index}, resources);
  }

  /// As much as they can use of some resources, on the days between those on which some is missing.
  Beside::More plenty(const std::vector<std::size_t>& indexes,
                      const std::vector<ResourceId>& resources) const {
    std::set<GroupId> groups;
    for (const std::size_t i : indexes) groups.insert(wanting_[i]);
    Beside::More out;
    for (const ResourceId resource : resources) {
      Day first = calendar::last_day, last = calendar::first_day;
      for (const std::size_t i : indexes) {
        const auto found = missing_[i].find(resource);
        if (found == missing_[i].end()) continue;
        first = std::min(first, found->second.begin()->first);
        last = std::max(last, found->second.rbegin()->first);
      }
      Amount all = 0;
      const levelling::Problem& problem = levelled_.problem();
      for (const levelling::Use& use : problem.uses) {
        if (use.resource == resource && groups.contains(problem.points[use.from.point].group)) {
          all += use.amount;
        }
      }
      for (Day day = first; day <= last; ++day) out[resource][day] = all;
    }
    return out;
  }

  /// What comes of it: weights of batches that find a place, days that are saved.
  struct Gain {
    long long placed = 0, days = 0;
    bool worse = false;  ///< a batch loses its place
    auto operator<=>(const Gain&) const = default;
  };
  Gain gain_of(const std::vector<std::size_t>& indexes, const Beside::Places& found) const {
    Gain out;
    for (std::size_t i = 0; i < indexes.size(); ++i) {
      const GroupId g = wanting_[indexes[i]];
      const int priority = levelled_.groups()[g].priority;
      if (!placed_[g]) out.placed += found.placed[i] ? priority : 0;
      if (!placed_[g]) continue;
      out.worse = out.worse || !found.placed[i];
      out.days += lateness(g) - static_cast<long long>(found.late[i]) * priority;
    }
    return out;
  }

  void try_with(const std::vector<std::size_t>& indexes, const std::vector<ResourceId>& resources) {
    std::vector<GroupId> groups;
    for (const std::size_t i : indexes) groups.push_back(wanting_[i]);
    const Beside beside(levelled_, schedule_, placed_, groups);
    const Gain nothing = gain_of(indexes, beside.with({}));
    Beside::Places best = beside.with(plenty(indexes, resources));
    const Gain gain = gain_of(indexes, best);
    if (gain.worse || std::tie(gain.placed, gain.days) <= std::tie(nothing.placed, nothing.days)) {
      return;
    }
    // Plenty is used where less would do.
    for (const int quarters : {4, 3, 2, 1}) {
      Beside::Places less = beside.with(share_of(best.needed, quarters));
      if (gain_of(indexes, less) != gain) break;
      best = std::move(less);
    }
    add(indexes, best);
  }

  static Beside::More share_of(Beside::More more, int quarters) {
    for (auto& [resource, days] : more) {
      for (auto& [day, amount] : days) amount = (amount * quarters + 3) / 4;
    }
    return more;
  }

  void add(const std::vector<std::size_t>& indexes, const Beside::Places& found) {
    Help help;
    help.price = 0;
    for (const auto& [resource, days] : found.needed) {
      if (!days.empty()) add_more(resource, days, help);
    }
    if (help.more.empty()) return;
    for (std::size_t i = 0; i < indexes.size(); ++i) {
      const GroupId g = wanting_[indexes[i]];
      if (!placed_[g]) {
        if (found.placed[i]) help.places.push_back(id_of(g));
        continue;
      }
      const long long days =
          lateness(g) - static_cast<long long>(found.late[i]) * levelled_.groups()[g].priority;
      if (days <= 0) continue;
      help.sooner.push_back(id_of(g));
      help.days_sooner += days;
    }
    out_.push_back(std::move(help));
  }

  void add_more(ResourceId resource, const Beside::Amounts& days, Help& help) const {
    const LevelProblem::Named& named = levelled_.name_of(resource);
    const Day first = days.begin()->first;
    const Day last = days.rbegin()->first;
    Amount most = 0, all = 0;
    for (const auto& [day, amount] : days) {
      most = std::max(most, amount);
      all += amount;
    }
    if (named.is_crew()) {
      return add_hours(plan_, named.name, named.kind == Kind::duty,
                       static_cast<double>(all) / named.step, {first, last}, help);
    }
    help.price.reset();
    help.more.push_back(
        {named.name, true, false, static_cast<double>(most) / named.step, first, last});
    help.change += (help.change.empty() ? "" : " and ") + ("room for " + amount_text(named, most)) +
                   " more in `" + named.name + "` " + span_text(first, last);
  }

  const LevelProblem& levelled_;
  const levelling::Schedule& schedule_;
  const std::vector<bool>& placed_;
  const Plan& plan_;
  std::vector<GroupId> wanting_;
  std::vector<Beside::More> missing_;  ///< as wanting_
  std::vector<Help> out_;
};

}  // namespace

std::vector<Help> find_helps(const LevelProblem& levelled, const levelling::Schedule& schedule,
                             const std::vector<bool>& placed, const std::vector<GroupId>& order,
                             const Plan& plan) {
  return HelpFinder(levelled, schedule, placed, plan).run(order);
}

void add_help(const Plan& plan, const std::string& batch, const std::vector<const Fault*>& faults,
              std::vector<Help>& helps) {
  // Hours help alone only where nothing else is amiss.
  if (std::any_of(faults.begin(), faults.end(), [](const Fault* one) { return one->crew.empty(); }))
    return;
  Help help;
  help.price = 0;
  help.places = {batch};
  struct Hours {
    Day first = calendar::last_day, last = calendar::first_day;
    double seconds = 0;
  };
  std::map<std::pair<std::string, bool>, Hours> crews;
  for (const Fault* one : faults) {
    Hours& hours = crews[{one->crew, !plan.book->site.working.works(one->day)}];
    hours.first = std::min(hours.first, one->day);
    hours.last = std::max(hours.last, one->day);
    hours.seconds += one->seconds;
  }
  for (const auto& [crew, hours] : crews) {
    add_hours(plan, crew.first, crew.second, hours.seconds, {hours.first, hours.last}, help);
  }
  helps.push_back(std::move(help));
}

namespace {

/// Whether a change does no more than another one, and asks for the same and more.
bool is_idle(const Help& help, const std::vector<Help>& helps) {
  return std::any_of(helps.begin(), helps.end(), [&](const Help& other) {
    return &other != &help && other.places == help.places && other.sooner == help.sooner &&
           other.days_sooner >= help.days_sooner && help.change != other.change &&
           (" and " + help.change + " and ").find(" and " + other.change + " and ") !=
               std::string::npos;
  });
}

}  // namespace

void sort_helps(std::vector<Help>& helps) {
  std::vector<Help> all;
  std::swap(all, helps);
  std::copy_if(all.begin(), all.end(), std::back_inserter(helps),
               [&](const Help& help) { return !is_idle(help, all); });
  const auto key = [](const Help& help) {
    const auto count = static_cast<long long>(help.places.size());
    return std::tuple(-count, -help.days_sooner,
                      help.price.value_or(std::numeric_limits<double>::infinity()), help.change);
  };
  std::sort(helps.begin(), helps.end(),
            [&](const Help& a, const Help& b) { return key(a) < key(b); });
  const auto same = [](const Help& a, const Help& b) {
    return a.change == b.change && a.places == b.places && a.sooner == b.sooner;
  };
  helps.erase(std::unique(helps.begin(), helps.end(), same), helps.end());
  if (helps.size() > most_helps) helps.resize(most_helps);
}

}  // namespace budwood::plan
