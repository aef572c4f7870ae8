#include "language/check/stage_limits.hpp"

#include <limits>
#include <optional>

#include "units/units.hpp"

namespace budwood::language {

namespace {

constexpr double longest_stage = 10'000 * units::seconds_a_day;
constexpr double longest_closure = 60 * units::seconds_a_day;
constexpr const char* over_rule = "`over` is longer than nothing";
constexpr double most_yield = 10'000;
constexpr double most_plants = 1e7;
constexpr double endless = std::numeric_limits<double>::infinity();

/// From `low` to `high`; an open end does not belong to it.
struct Bounds {
  double low = 0;
  double high = endless;
  bool low_open = false;
  bool high_open = false;

  bool hold(double value) const {
    return (low_open ? value > low : value >= low) && (high_open ? value < high : value <= high);
  }
};

constexpr Bounds not_negative{0, endless, false, false};
constexpr Bounds positive{0, endless, true, false};

class StageLimits {
 public:
  StageLimits(const Protocol& protocol, const Stage& stage, text::Diagnostics& diagnostics)
      : protocol_(protocol), stage_(stage), diagnostics_(diagnostics) {}

  void run() {
    // Degree-days turn into days with the temperature, which is known later.
    if (stage_.heat) {
      within(stage_.shortest, positive, "A sum of degree-days is more than nothing");
    } else {
      lengths();
    }
    waiting();
    within(stage_.yields, {0, most_yield, true, false},
           "A stage yields more than nothing and at most 10 000 for each plant");
    within(stage_.minimum, {0, most_plants, false, false},
           "A stage starts with at most 10 million plants");
    within(stage_.loses, {0, 1, false, true}, "A loss goes from 0 % to just under 100 %",
           *units::find_unit("%"));
    within(stage_.space, positive, "Space is more than nothing");
    for (const Work& work : stage_.works) labour(work);
    for (const Contingency& one : stage_.contingencies) {
      for (const Contingency::Action& action : one.actions) labour(action.work);
    }
    for (const Setting& setting : stage_.settings) values(setting);
    for (const Mist& mist : stage_.mists) values(mist);
  }

 private:
  /// The value of a formula that is a written number.
  std::optional<double> known(FormulaId id) const {
    if (id == no_formula || protocol_.node(id).kind != Node::Kind::constant) return std::nullopt;
    return protocol_.node(id).value;
  }

  bool within(FormulaId id, const Bounds& bounds, const std::string& rule) {
    const std::optional<double> value = known(id);
    if (!value) return true;
    return within(id, bounds, rule, units::usual_unit(protocol_.node(id).type.dimension, *value));
  }

  bool within(FormulaId id, const Bounds& bounds, const std::string& rule,
              const units::Unit& unit) {
    const std::optional<double> value = known(id);
    if (!value || bounds.hold(*value)) return true;
    const Node& node = protocol_.node(id);
    const std::string advice =
        node.type.loose && unit.symbol == "%" ? "Write the unit, such as `8 %`." : "";
    const std::string shown =
        !node.type.loose ? text::shortened(text::text_of(node.span)) : units::format(*value, unit);
    diagnostics_.error("out-of-range", node.span, rule + ", but this is " + shown + ".", advice);
    return false;
  }

  /// Reports a second value below the first.
  bool in_order(FormulaId first, FormulaId second, const std::string& message,
                const std::string& advice) {
    const std::optional<double> low = known(first);
    const std::optional<double> high = known(second);
    if (!low || !high || *low <= *high) return true;
    diagnostics_.error("out-of-order", protocol_.node(second).span, message, advice);
    return false;
  }

  void lengths() {
    if (!within(stage_.longest, {0, longest_stage, true, false},
                "A stage lasts longer than nothing and at most 10 000 days") ||
        !within(stage_.shortest, not_negative, "No stage is shorter than nothing")) {
      return;
    }
    if (!in_order(stage_.shortest, stage_.longest, "This range is upside down.",
                  "Write the smaller value first.")) {
      return;
    }
    const std::string advice = "Plans are made with the usual length; it lies in the range.";
    in_order(stage_.shortest, stage_.usual, "The usual length is shorter than the shortest.",
             advice);
    const std::optional<double> usual = known(stage_.usual);
    const std::optional<double> longest = known(stage_.longest);
    if (usual && longest && *usual > *longest) {
      diagnostics_.error("out-of-order", protocol_.node(stage_.usual).span,
                         "The usual length is longer than the longest.", advice);
    }
  }

  void waiting() {
    within(stage_.longest_wait, {0, longest_stage, false, false},
           "Plants wait for 0 to 10 000 days");
    for (const After& after : stage_.after) {
      if (!after.within) {
        within(after.low, {0, longest_stage, false, false},
               "A stage comes 0 to 10 000 days after another");
      }
      in_order(after.low, after.high, "This range is upside down.",
               "Write the smaller value first.");
    }
  }

  void labour(const Work& work) {
    within(work.rate, positive, "A rate is more than nothing");
    within(work.time, positive, "Work takes some time");
    within(work.people, {1, 10'000, false, false}, "Work takes one person or more");
    within(work.no_entry, {0, longest_closure, true, false},
           "A room stays closed for longer than nothing and at most 60 days");
    for (const Use& use : work.uses) {
      within(use.amount, positive, "What is used is more than nothing");
      within(use.per, positive, "`per` names some plants");
    }
  }

  void values(const Setting& setting) {
    const std::string rule = "`" + setting.name + "` goes from " +
                             units::format(setting.lowest, setting.unit) + " to " +
                             units::format(setting.highest, setting.unit);
    for (const FormulaId id : {setting.first, setting.last, setting.high}) {
      within(id, {setting.lowest, setting.highest, false, false}, rule, setting.unit);
    }
    in_order(setting.first, setting.high, "This range is upside down.",
             "Write the smaller value first.");
    within(setting.hours, {0, units::seconds_a_day, true, false}, "A day has 24 hours");
    within(setting.over, positive, over_rule);
  }

  void values(const Mist& mist) {
    for (const FormulaId id : {mist.pulse, mist.pulse_last, mist.every, mist.every_last}) {
      within(id, {0, units::seconds_a_day, true, false},
             "Mist pulses and their interval are longer than nothing and at most a day");
    }
    in_order(mist.pulse, mist.every, "The mist comes again before its pulse is over.",
             "Write it like: mist 10 s every 30 min");
    within(mist.over, positive, over_rule);
  }

  const Protocol& protocol_;
  const Stage& stage_;
  text::Diagnostics& diagnostics_;
};

}  // namespace

void check_limits(const Protocol& protocol, const Stage& stage, text::Diagnostics& diagnostics) {
  StageLimits(protocol, stage, diagnostics).run();
}

}  // namespace budwood::language
