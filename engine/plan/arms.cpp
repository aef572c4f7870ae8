#include "plan/arms.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "statistics/comparing/permutation.hpp"
#include "statistics/sample_size.hpp"
#include "statistics/spread/scatter.hpp"
#include "units/units.hpp"

namespace budwood::plan {

namespace {

/// The likeness of two plants of a tray that is taken for granted while nothing is learned: common
/// practice, no published source.
constexpr double usual_likeness = 0.02;
constexpr double power = 0.8;
constexpr double risk = 0.05;
/// A trial that cannot tell less than this is warned of.
constexpr double worth_telling = 0.15;

/// The share of plants of an arm that is expected to come through all of its stages.
double expected_share(const sheet::Row& row) {
  double share = 1;
  for (const language::StageId stage : row.protocol().stages.ids()) {
    const double survival = row.through(stage);
    if (std::isfinite(survival)) share *= survival;
  }
  return share;
}

double starts_of(const sheet::Row& row) {
  double most = 0;
  for (const language::StageId stage : row.protocol().stages.ids()) {
    const double plants = row.value(row.cells(stage).plants);
    if (std::isfinite(plants)) most = std::max(most, plants);
  }
  return most;
}

/// The smallest difference from a share that so many plants an arm tell with 80 %; nothing when
/// even the largest cannot be told.
std::optional<double> smallest_difference(double share, double plants) {
  const bool downwards = share > 0.5;
  const double most = downwards ? share : 1 - share;
  const auto told = [&](double difference) {
    const double other = downwards ? share - difference : share + difference;
    return statistics::two_group_power(plants, share, other, {risk, 2}).value_or(0) >= power;
  };
  if (!told(most)) return std::nullopt;
  double low = 0;
  double high = most;
  for (int i = 0; i < 40; ++i) {
    const double middle = (low + high) / 2;
    (told(middle) ? high : low) = middle;
  }
  return high;
}

std::string points(double difference) {
  return units::format_number(std::ceil(100 * difference - 1e-9)) + " points";
}

class TrialTeller {
 public:
  TrialTeller(Plan& plan, std::size_t batch, text::Diagnostics& diagnostics)
      : plan_(plan),
        facts_(plan.facts_of(plan.batches[batch])),
        trial_(*facts_.trial),
        row_(plan.row_of(plan.batches[batch])),
        diagnostics_(diagnostics) {}

  void tell() {
    for (const std::string& line : lots()) {
      plan_.notes.push_back({facts_.id.value, line, trial_.span});
    }
    judge();
  }

 private:
  /// "Trial TR27, left bench: tray 1 A, 2 B, 3 B, 4 A."
  std::vector<std::string> lots() const {
    std::vector<std::string> out;
    std::string line;
    const std::string* block = nullptr;
    const auto end = [&] {
      if (!line.empty()) out.push_back(line + ".");
    };
    for (const book::TrialTray& tray : trial_.trays) {
      if (block == nullptr || *block != tray.block) {
        end();
        block = &tray.block;
        line = "Trial " + trial_.name + (block->empty() ? "" : ", " + *block) + ": tray ";
      } else {
        line += ", ";
      }
      line += std::to_string(tray.number) + " " + tray.letter;
    }
    end();
    return out;
  }

  void judge() {
    const double share = expected_share(row_);
    const double tray = starts_of(row_) / trial_.trays_an_arm;
    if (!(tray >= 1) || !(share > 0 && share < 1)) return;
    const double effect = statistics::planned_design_effect(tray, usual_likeness);
    const auto smallest = smallest_difference(share, tray * trial_.trays_an_arm / effect);
    const int each = trial_.trays_an_arm / trial_.blocks;
    const double least_p = statistics::smallest_p(each, each, trial_.blocks).value_or(1);
    const std::string size = std::to_string(trial_.trays_an_arm) + " trays of " +
                             units::format_number(std::round(tray)) + " an arm";
    const std::string taken = " (8 of 10 such trials, p 0.05, two plants of a tray alike by " +
                              units::format_number(usual_likeness) + ")";
    if (smallest && least_p <= risk && *smallest <= worth_telling) {
      plan_.notes.push_back({facts_.id.value,
                             "Trial " + trial_.name + ": " + size + " tell a difference of " +
                                 points(*smallest) + " or more" + taken + ".",
                             trial_.span});
      return;
    }
    const std::string can =
        least_p > risk || !smallest
            ? " cannot show a difference, however large"
            : " tell only a difference of " + points(*smallest) + " or more" + taken;
    diagnostics_.warning("small-trial", trial_.span,
                         "Trial `" + trial_.name + "`: " + size + can + ".",
                         advice(share, tray, effect));
  }

  std::string advice(double share, double tray, double effect) const {
    const double other = share > 0.5 ? share - worth_telling : share + worth_telling;
    const auto plants = statistics::two_group_size(share, other, power, {risk, 2});
    if (!plants) return "Take more trays.";
    // Whole trays in every block, and enough of them that luck can be told from the rest.
    int trays = std::max(static_cast<int>(std::ceil(*plants * effect / tray)), 4);
    trays = (trays + trial_.blocks - 1) / trial_.blocks * trial_.blocks;
    return "For " + points(worth_telling) + " it takes " + std::to_string(trays) + " trays an arm.";
  }

  Plan& plan_;
  const book::Batch& facts_;
  const book::Trial& trial_;
  sheet::Row row_;
  text::Diagnostics& diagnostics_;
};

/// By arm the trays that were noted of it and are not its own.
using StrangeTrays = std::map<std::string, std::set<std::string>>;

StrangeTrays strange_trays(const Plan& plan) {
  std::map<std::string, const book::Trial*> arms;
  for (const BatchPlan& batch : plan.batches) {
    const book::Batch& facts = plan.facts_of(batch);
    if (facts.trial) arms[facts.id.value] = &*facts.trial;
  }
  StrangeTrays out;
  if (arms.empty()) return out;
  for (const record::Entry& entry : plan.book->history) {
    if (entry.tray.empty()) continue;
    const auto arm = arms.find(entry.batch);
    if (arm == arms.end() || arm->second->own_tray(entry.tray) != nullptr) continue;
    out[entry.batch].insert(entry.tray);
  }
  return out;
}

void report_changed(Plan& plan, text::Diagnostics& diagnostics) {
  const StrangeTrays strange = strange_trays(plan);
  if (strange.empty()) return;
  for (const BatchPlan& batch : plan.batches) {
    const book::Batch& facts = plan.facts_of(batch);
    const auto found = strange.find(facts.id.value);
    if (found == strange.end()) continue;
    const std::string& trial = facts.trial->name;
    const auto& known = plan.changed_trials;
    if (std::find(known.begin(), known.end(), trial) == known.end()) {
      plan.changed_trials.push_back(trial);
    }
    const auto& trays = found->second;
    const bool one = trays.size() == 1;
    diagnostics.error(
        "trial-changed", facts.trial->span,
        "Trial `" + trial + "`: " + (one ? "tray " : "trays ") +
            text::list_words({trays.begin(), trays.end()}, "and") + (one ? " was" : " were") +
            " noted as of `" + facts.id.value + "`, and the lot does not give " +
            (one ? "it" : "them") + " to that arm.",
        "If the trial was changed after its trays were drawn, put it back as it was: arms, trays, "
        "blocks and seed. If a tray was noted wrongly, correct the entry.");
  }
}

}  // namespace

void tell_trials(Plan& plan, text::Diagnostics& diagnostics) {
  std::string last;
  for (std::size_t i = 0; i < plan.batches.size(); ++i) {
    const book::Batch& facts = plan.facts_of(plan.batches[i]);
    // Once a trial: its arms stand behind each other.
    if (!facts.trial || facts.trial->name == last) continue;
    last = facts.trial->name;
    TrialTeller(plan, i, diagnostics).tell();
  }
  report_changed(plan, diagnostics);
}

}  // namespace budwood::plan
