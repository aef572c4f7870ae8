#include "language/check/stage_limits.hpp"

#include <optional>

#include "language/limits.hpp"
#include "units/rounding.hpp"
#include "units/units.hpp"

namespace budwood::language {

namespace {

class StageLimits {
 public:
  StageLimits(const Protocol& protocol, const Stage& stage, text::Diagnostics& diagnostics)
      : protocol_(protocol), stage_(stage), diagnostics_(diagnostics) {}

  void run() {
    // Degree-days turn into days with the temperature, which is known later.
    if (stage_.heat) {
      within(stage_.shortest, limits::heat_sum);
    } else {
      lengths();
    }
    waiting();
    within(stage_.yields, limits::yields);
    within(stage_.minimum, limits::minimum);
    within(stage_.loses, limits::loses, percent());
    for (const Picking& one : stage_.picks) within(one.share, limits::portion, percent());
    for (const Grade& one : stage_.grades) within(one.share, limits::portion, percent());
    portions();
    for (const Space& one : stage_.space) within(one.amount, limits::space);
    for (const Work& work : stage_.works) labour(work);
    for (const Contingency& one : stage_.contingencies) {
      for (const Contingency::Action& action : one.actions) labour(action.work);
    }
    for (const Setting& setting : stage_.settings) values(setting);
    for (const Mist& mist : stage_.mists) values(mist);
  }

 private:
  static units::Unit percent() { return *units::find_unit("%"); }

  /// Written shares that are more than all plants together.
  void portions() {
    const auto more_than_all = [&](const auto& shares, const std::string& what) {
      double sum = 0;
      for (const auto& one : shares) sum += known(one.share).value_or(0);
      if (shares.empty() || sum <= 1 + units::slack(sum, 1)) return;
      diagnostics_.error(
          "out-of-range", shares.back().span,
          what + " are " + units::format(sum, percent()) + " of the plants together.",
          "They are 100 % at most; what is left is thrown out.");
    };
    more_than_all(stage_.picks, "The pickings of this stage");
    more_than_all(stage_.grades, "The grades of this stage");
  }

  /// The value of a formula that is a written number.
  std::optional<double> known(FormulaId id) const {
    if (id == no_formula || protocol_.node(id).kind != Node::Kind::constant) return std::nullopt;
    return protocol_.node(id).value;
  }

  bool within(FormulaId id, const Limit& limit) {
    const std::optional<double> value = known(id);
    if (!value) return true;
    return within(id, limit, units::usual_unit(protocol_.node(id).type.dimension, *value));
  }

  bool within(FormulaId id, const Limit& limit, const units::Unit& unit) {
    return within(id, limit, unit, limit.rule);
  }

  bool within(FormulaId id, const Limit& limit, const units::Unit& unit, const std::string& rule) {
    const std::optional<double> value = known(id);
    if (!value || limit.hold(*value)) return true;
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
    if (!within(stage_.longest, limits::longest) || !within(stage_.shortest, limits::shortest)) {
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
    within(stage_.longest_wait, limits::wait);
    const MeasureFacts& air = facts_of(Measure::air);
    const units::Unit degrees = *units::find_unit(air.unit);
    within(stage_.held_air, {air.lowest, air.highest}, degrees,
           "Plants are held in air from " + units::format(air.lowest, degrees) + " to " +
               units::format(air.highest, degrees));
    for (const After& after : stage_.after) {
      if (!after.within) within(after.low, limits::after);
      in_order(after.low, after.high, "This range is upside down.",
               "Write the smaller value first.");
    }
  }

  void labour(const Work& work) {
    within(work.rate, limits::rate);
    within(work.time, limits::time);
    within(work.time_share.per, limits::per);
    within(work.setup, limits::setup);
    within(work.people, limits::people);
    within(work.no_entry, limits::no_entry);
    for (const Use& use : work.uses) {
      within(use.amount, limits::amount);
      within(use.light, limits::light_start);
      within(use.share.per, limits::per);
    }
  }

  void values(const Setting& setting) {
    const std::string rule = "`" + setting.name + "` goes from " +
                             units::format(setting.lowest, setting.unit) + " to " +
                             units::format(setting.highest, setting.unit);
    for (const FormulaId id : {setting.first, setting.last, setting.high}) {
      within(id, {setting.lowest, setting.highest}, setting.unit, rule);
    }
    in_order(setting.first, setting.high, "This range is upside down.",
             "Write the smaller value first.");
    within(setting.hours, limits::hours);
    within(setting.light, limits::light_start);
    within(setting.over, limits::over);
  }

  void values(const Mist& mist) {
    for (const FormulaId id : {mist.pulse, mist.pulse_last, mist.every, mist.every_last}) {
      within(id, limits::mist);
    }
    in_order(mist.pulse, mist.every, "The mist comes again before its pulse is over.",
             "Write it like: mist 10 s every 30 min");
    within(mist.over, limits::over);
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
