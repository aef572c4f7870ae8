#include <fmt/format.h>

#include <cmath>

#include "report/results/compared_report.hpp"

namespace budwood::report {

namespace {

using results::Compared;
using results::Side;
using results::Verdict;

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

double share_of(const Side& side) {
  return static_cast<double>(side.plants.good) / static_cast<double>(side.plants.of);
}

/// "8 to 26 points", with the better one first so that points are above 0.
std::string points(const statistics::Interval& interval, bool turned) {
  const double low = 100 * (turned ? -interval.high : interval.low);
  const double high = 100 * (turned ? -interval.low : interval.high);
  // A limit that is rounded to 0 would say that there may be no difference.
  const bool fine = std::abs(low) < 1 || std::abs(high) < 1;
  return fine ? fmt::format("{:.1f} to {:.1f} points", low, high)
              : fmt::format("{:.0f} to {:.0f} points", low, high);
}

std::string luck(const Compared& one) {
  const char* what = one.lots ? "by lot alone" : "by luck alone";
  return std::string(what) + " so large a difference comes " + how_often(one.p);
}

std::string counted_text(const Side& side) {
  return side.name + ": " + std::to_string(side.plants.good) + " of " +
         std::to_string(side.plants.of) + " in " + std::to_string(side.units) +
         (side.units == 1 ? " count" : " counts") +
         (side.interval ? fmt::format(", {:.1f} % ({:.1f} to {:.1f} %)", 100 * share_of(side),
                                      100 * side.interval->low, 100 * side.interval->high)
                        : "");
}

}  // namespace

std::string how_often(double p) {
  if (p > 0.5) return "more often than not";
  const double times = 1 / p;
  if (times > 1e6) return "less than 1 time in a million";
  if (times < 10) return fmt::format("{:.0f} times in 100", 100 * p);
  return fmt::format("1 time in {:.0f}", times);
}

std::string changed_trial_text(const std::string& trial) {
  return "No answer: trays of trial " + trial +
         " were noted of arms that the lot does not give them to, so the lot says nothing of them. "
         "Put the trial back as it was when its trays were drawn.";
}

std::string holm_text(double p, double adjusted) {
  return fmt::format("Several comparisons were made; by Holm p counts as {:.3f}, not {:.3f}.",
                     adjusted, p);
}

std::string together_text(const results::Together& one) {
  if (!one.test) return "All or none are alive in all groups: there is nothing to tell.";
  const bool differ = one.test->p <= 0.05;
  return fmt::format("{} groups: {}; by luck alone so much comes {} ({}).", one.groups,
                     differ ? "at least two of them differ by more than luck can do"
                            : "they differ no more than luck can do",
                     how_often(one.test->p),
                     one.from_trays ? "Rao and Scott, trays respected"
                                    : "Pearson, from plants: surer than it ought to be");
}

std::string answer(const Compared& one) {
  const Side& a = one.first;
  const Side& b = one.second;
  if (!one.changed_trial.empty()) return changed_trial_text(one.changed_trial);
  if (one.verdict == Verdict::no_answer) {
    return "Nothing was counted of " + (a.plants.of == 0 ? a.name : b.name) + ".";
  }
  const bool turned = one.difference < 0;
  const Side& high = turned ? b : a;
  const Side& low = turned ? a : b;
  const std::string shares = percent(share_of(high)) + " against " + percent(share_of(low));
  const std::string by = one.interval ? ", " + points(*one.interval, turned) : "";
  if (one.verdict == Verdict::unsure) {
    return "No more than luck can do: " + high.name + " " + percent(share_of(high)) + ", " +
           low.name + " " + percent(share_of(low)) + by + "; " + luck(one) + ".";
  }
  return high.name + " took better: " + shares + by + "; " + luck(one) + ".";
}

std::vector<std::string> grounds(const Compared& one) {
  std::vector<std::string> out;
  if (one.verdict == Verdict::no_answer) return out;
  if (!one.by_lot) {
    std::string what = "Not a trial";
    for (std::size_t i = 0; i < one.unlike.size(); ++i) {
      const results::Unlike& unlike = one.unlike[i];
      what +=
          (i == 0 ? ": " : "; ") + unlike.what + " " + unlike.first + " against " + unlike.second;
    }
    out.push_back(what + (one.unlike.empty() ? ": nobody gave trays to the two by lot." : "."));
  }
  out.push_back(counted_text(one.first) + "; " + counted_text(one.second) + ".");
  if (one.lots) {
    out.push_back(fmt::format("Of {} lots{} {} differ as much or more.", one.lots->lots,
                              one.lots->is_exact ? "" : " that were drawn from a seed",
                              one.lots->as_large));
  } else {
    out.push_back("From plants (" + one.p_method +
                  "): plants of a tray share their luck, so this is surer than it ought to be. "
                  "Count by trays.");
  }
  if (one.lots && one.plants_alone && one.scatter_respected) {
    out.push_back(fmt::format(
        "If each plant had luck of its own p would be {:.2g}; with the scatter of trays respected "
        "(Rao and Scott) it is {:.2g}.",
        one.plants_alone->p, one.scatter_respected->p));
  }
  out.push_back("The interval is 95 %, " + one.method + ".");
  if (one.lots && one.smallest_p && one.batches_with_both == 0 && *one.smallest_p > one.limit) {
    out.push_back(fmt::format("So few trays cannot show a difference at all: at best it comes {}.",
                              how_often(*one.smallest_p)));
  }
  if (one.looks > 1) {
    out.push_back(
        fmt::format("Looked at {} times: so that all looks together raise a false alarm "
                    "in no more than 5 of 100 trials, luck may make it in {:.1f} of 100.",
                    one.looks, 100 * one.limit));
  }
  constexpr int most_looks = 100;
  if (one.days_counted > one.looks && one.days_counted <= most_looks) {
    out.push_back(fmt::format(
        "Its trays were counted on {} days. If you compared after each of them, that is {} looks: "
        "ask with --looks {}, and luck may make it in only {:.1f} of 100.",
        one.days_counted, one.days_counted, one.days_counted, 100 * one.limit_of_days));
  }
  if (one.p_adjusted > one.p * 1.0001) {
    out.push_back(holm_text(one.p, one.p_adjusted));
  }
  if (one.common && one.common_p) {
    std::string odds;
    if (one.common_odds && one.common_odds->interval) {
      odds = fmt::format(", odds {:.1f} to 1 ({:.1f} to {:.1f})", one.common_odds->ratio,
                         one.common_odds->interval->low, one.common_odds->interval->high);
    }
    out.push_back(fmt::format(
        "Within the {} batches that have both: {:.0f} points ({:.0f} to {:.0f}; Mantel and "
        "Haenszel, Sato's error){}, p = {:.3f} from plants ({}).",
        one.batches_with_both, 100 * one.common->difference, 100 * one.common->interval.low,
        100 * one.common->interval.high, odds, *one.common_p, one.common_p_method));
  }
  if (one.alike && one.alike->p <= 0.05) {
    out.push_back(
        fmt::format("Batches differ in it (Breslow, Day and Tarone: p = {:.3f}): one "
                    "figure for all of them tells only half.",
                    one.alike->p));
  }
  if (one.verdict == Verdict::unsure && one.trays_needed) {
    out.push_back(
        fmt::format("To tell a difference of {:.0f} points in 8 of 10 trials, {} trays "
                    "an arm would be needed, {} plants.",
                    100 * std::abs(one.difference), *one.trays_needed, *one.plants_needed));
  }
  return out;
}

}  // namespace budwood::report
