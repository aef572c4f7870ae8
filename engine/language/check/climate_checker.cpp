/// A schedule is written by value, not by day: published ones change air, humidity and shade on
/// different days, so a table with a row a day range repeats itself or lies. `keep` takes
/// levels one after the other, with days of their own.

#include <algorithm>

#include "language/check/stage_checker.hpp"
#include "language/typed_words.hpp"

/// What a stage keeps and tapers: settings, mist, and the days on which they hold.
namespace budwood::language {

namespace {

const MeasureFacts* settable(const syntax::Name& name, text::Diagnostics& diagnostics) {
  const MeasureFacts* facts = find_measure(name.text);
  if (facts != nullptr && facts->settable) return facts;
  if (facts != nullptr) {
    diagnostics.error("unknown-setting", name.span,
                      "`" + name.text + "` follows from other settings and cannot be set.",
                      comes_from_mist(facts->measure) ? "Write it like: mist 10 s every 30 min"
                                                      : "Set what it is worked out from.");
    return nullptr;
  }
  std::vector<std::string> names;
  for (const MeasureFacts& one : measures()) {
    if (one.settable) names.push_back(one.name);
  }
  std::string advice = advice_for_setting(name.text);
  if (advice.empty()) advice = text::did_you_mean(name.text, names);
  if (advice.empty()) advice = "Known settings: " + text::list_words(names, "and") + ".";
  diagnostics.error("unknown-setting", name.span, "There is no setting `" + name.text + "`.",
                    advice);
  return nullptr;
}

}  // namespace

/// The light after which something is given; people leave its square metre out.
FormulaId StageChecker::light_start(const syntax::Formula& written) {
  const FormulaId light = formulas_.check(written);
  if (light == no_formula) return no_formula;
  const Type& type = formulas_.type_of(light);
  if (alike(type, Type::quantity(units::substance / units::area)) ||
      alike(type, Type::quantity(units::substance))) {
    return light;
  }
  const bool radiation = alike(type, Type::quantity(units::energy / units::area));
  diagnostics_.error("unit-mismatch", written.span,
                     "`at ... of light` wants a sum of light, but this is " +
                         (radiation ? "one of radiation" : describe(type)) + ".",
                     radiation ? "Light is counted in moles, at the plants: 100 J/cm2 of sun bring "
                                 "2 mol/m2 outdoors, and less through a cover."
                               : "Write it like: at 3 mol of light");
  return no_formula;
}

/// `irrigate 0.8 L/m2 at 3 mol of light`.
void StageChecker::irrigate(const syntax::Setting& written) {
  const MeasureFacts& facts = facts_of(Measure::irrigation);
  Setting setting;
  setting.name = facts.name;
  setting.measure = facts.measure;
  setting.lowest = limits::light_dose.low;
  setting.highest = limits::light_dose.high;
  setting.unit = *units::find_unit("L/m2");
  setting.span = written.span;
  setting.first = formulas_.check(written.first);
  setting.light = light_start(*written.light);
  if (setting.first == no_formula || setting.light == no_formula) return;
  const Type& water = formulas_.type_of(setting.first);
  if (!alike(water, Type::quantity(setting.unit.dimension))) {
    diagnostics_.error(
        "unit-mismatch", written.first.span,
        "`irrigate` wants water on an area, but this is " + describe(water) + ".",
        "Write it like: irrigate 0.8 L/m2 at 3 mol of light. For so much a plant, in "
        "a work: use 30 mL feed per plant at 3 mol of light");
    return;
  }
  if (!days(written.days, setting.from, setting.to, setting.over)) return;
  stage().settings.push_back(setting);
}

void StageChecker::item(const syntax::Setting& written) {
  if (written.light) return irrigate(written);
  const MeasureFacts* facts = settable(written.name, diagnostics_);
  if (facts == nullptr) return;
  Setting setting;
  setting.name = facts->name;
  setting.measure = facts->measure;
  setting.lowest = facts->lowest;
  setting.highest = facts->highest;
  setting.unit = *units::find_unit(facts->unit);
  setting.span = written.span;
  setting.half = static_cast<Half>(written.half);
  setting.bound = static_cast<Bound>(written.bound);
  setting.steps = written.steps.value_or(0);
  const syntax::Formula* high = written.high ? &*written.high : nullptr;
  const auto borrowed = unit_to_borrow(formulas_, {&written.first, high});
  const auto value = [&](const syntax::Formula& formula) {
    return formulas_.check(formula, facts->type, "`" + facts->name + "`", borrowed);
  };
  setting.first = value(written.first);
  if (written.last) setting.last = value(*written.last);
  if (high != nullptr) setting.high = value(*high);
  if (borrowed) setting.unit = *borrowed;
  if (written.hours) {
    if (facts->measure != Measure::light) {
      diagnostics_.error("unit-mismatch", written.hours->span,
                         "Only `light` is given for so many hours a day.",
                         "Days are written behind the value: `until day 3`.");
      return;
    }
    setting.hours = formulas_.check(*written.hours, a_length_of_time, "`for`");
  }
  const bool whole_day =
      facts->measure == Measure::light || facts->measure == Measure::irrigation ||
      facts->measure == Measure::photoperiod || facts->measure == Measure::light_sum ||
      facts->measure == Measure::night_break;
  if (whole_day && setting.half != Half::both) {
    diagnostics_.error("unit-mismatch", written.span,
                       "`" + facts->name + "` is given for a day, not for a half of it.",
                       "Leave out `by day` or `by night`.");
    return;
  }
  if (!days(written.days, setting.from, setting.to, setting.over)) return;
  const bool broken = (written.last && setting.last == no_formula) ||
                      (high != nullptr && setting.high == no_formula);
  if (setting.first == no_formula || broken) return;
  stage().settings.push_back(setting);
}

void StageChecker::item(const syntax::Cover& cover) {
  if (cover.what.text == "cover") {
    stage().under_cover = true;
    return;
  }
  diagnostics_.error("unknown-name", cover.what.span, "Plants can stand under a cover alone.",
                     "Write it like: under cover");
}

/// Light that does not say for how long goes on for as long as the light before it, unless the
/// stage sets a day length of its own.
void StageChecker::resolve_day_length() {
  FormulaId hours = no_formula;
  std::vector<Setting>& settings = stage().settings;
  const bool own = std::any_of(settings.begin(), settings.end(), [](const Setting& setting) {
    return setting.measure == Measure::photoperiod;
  });
  if (own) return;
  for (Setting& setting : settings) {
    if (setting.measure != Measure::light) continue;
    if (setting.hours == no_formula) setting.hours = hours;
    hours = setting.hours;
  }
}

void StageChecker::item(const syntax::Mist& written) {
  Mist mist;
  mist.span = written.span;
  const auto time = [&](const std::optional<syntax::Formula>& formula,
                        const std::optional<syntax::Formula>& partner) -> FormulaId {
    if (!formula) return no_formula;
    const auto borrowed = unit_to_borrow(formulas_, {partner ? &*partner : nullptr});
    return formulas_.check(*formula, a_length_of_time, "`mist`", borrowed);
  };
  mist.pulse = time(written.pulse, written.pulse_last);
  mist.pulse_last = time(written.pulse_last, written.pulse);
  mist.every = time(written.every, written.every_last);
  mist.every_last = time(written.every_last, written.every);
  mist.steps = written.steps.value_or(0);
  if (written.taper && stage().mists.empty()) {
    diagnostics_.error("taper-of-nothing", written.span,
                       "This mist is tapered, but the stage has no mist before it.",
                       "Write the full mist first, such as: mist 10 s every 30 min until day 3");
    return;
  }
  if (written.taper) {
    const Mist* before = tapered_mist(written);
    if (before == nullptr) return;
    // Pulse and hours stay as they were unless the taper says otherwise.
    const FormulaId last = before->pulse_last == no_formula ? before->pulse : before->pulse_last;
    if (mist.pulse == no_formula) mist.pulse = last;
    mist.from_minute = before->from_minute;
    mist.to_minute = before->to_minute;
  }
  if (written.from_minute && written.to_minute) {
    mist.from_minute = *written.from_minute;
    mist.to_minute = *written.to_minute;
    if (mist.to_minute == mist.from_minute) {
      diagnostics_.error("out-of-order", written.span, "The mist would end when it starts.",
                         "Leave the times out for mist round the clock.");
      return;
    }
  }
  if (!days(written.days, mist.from, mist.to, mist.over)) return;
  if (mist.pulse == no_formula || mist.every == no_formula) return;
  stage().mists.push_back(mist);
}

/// The mist that a taper goes on from: the last one in its hours, or, without hours, the only one
/// there is.
const Mist* StageChecker::tapered_mist(const syntax::Mist& written) {
  const Mist* found = nullptr;
  for (const Mist& one : stage().mists) {
    const bool same = found != nullptr && one.from_minute == found->from_minute &&
                      one.to_minute == found->to_minute;
    const bool meant = !written.from_minute || (one.from_minute == *written.from_minute &&
                                                one.to_minute == written.to_minute.value_or(-1));
    if (found != nullptr && meant && !same && !written.from_minute) {
      diagnostics_.error("taper-of-nothing", written.span,
                         "There are several mists in this stage; it is not clear which is tapered.",
                         "Add its hours, such as: from 07:00 to 19:00");
      return nullptr;
    }
    if (meant) found = &one;
  }
  return found == nullptr ? &stage().mists.back() : found;
}

bool StageChecker::days(const syntax::Days& written, StageDay& from, StageDay& to,
                        FormulaId& over) {
  if (written.from) from = stage_day(*written.from);
  if (written.to) to = stage_day(*written.to);
  if (written.over) {
    over = formulas_.check(*written.over, a_length_of_time, "`over`");
    return over != no_formula;
  }
  return in_order(from, to);
}

bool StageChecker::in_order(const StageDay& from, const StageDay& to) {
  const bool upside_down = !to.last && (from.last || from.day > to.day);
  if (upside_down) {
    diagnostics_.error("out-of-order", to.span,
                       "These days are upside down: they end before they start.",
                       "Write the earlier day first.");
  }
  return !upside_down;
}

bool sets(const Stage& stage, Measure measure) {
  if (comes_from_mist(measure)) return !stage.mists.empty();
  const auto set = [&](Measure one) {
    return std::any_of(stage.settings.begin(), stage.settings.end(), [&](const Setting& setting) {
      // Water by light follows from the weather, which formulas do not know.
      return setting.measure == one && setting.light == no_formula;
    });
  };
  // Of all settings only light is given for so many hours.
  const auto lit = [&] {
    return std::any_of(stage.settings.begin(), stage.settings.end(),
                       [](const Setting& setting) { return setting.hours != no_formula; });
  };
  switch (measure) {
    case Measure::vpd:
      return set(Measure::vpd) || (set(Measure::air) && set(Measure::humidity));
    case Measure::dew_point:
    case Measure::absolute_humidity:
      return set(Measure::air) && set(Measure::humidity);
    case Measure::photoperiod:
      return set(Measure::photoperiod) || lit();
    case Measure::light_sum:
      return set(Measure::light_sum) || lit() || (set(Measure::light) && set(Measure::photoperiod));
    default:
      return set(measure);
  }
}

}  // namespace budwood::language
