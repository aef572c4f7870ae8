#include <algorithm>
#include <array>

#include "language/check/stage_checker.hpp"
#include "language/tree/canonical.hpp"

/// Checks what stages say of time: lengths, degree-days, seasons, gates.
namespace budwood::language {

namespace {

const Type a_heat_sum = Type::quantity(units::temperature * units::time);

/// How degree-days of a series are counted; what each name means, engine/climate says.
const std::vector<std::string>& heat_methods() {
  static const std::vector<std::string> names{"average_limited_after", "average_limited_each",
                                              "quarter_rule", "single_sine"};
  return names;
}

/// A count of chilling in a gate: its name, its arguments, and the method of engine/climate.
struct ChillCount {
  const char* name;
  std::size_t arguments;
  const char* method;
  bool is_time;  ///< what is reached is a time; else a number of units
};

constexpr std::array chill_counts{
    ChillCount{"chill_hours", 1, "hours_below", true},
    ChillCount{"chill_hours", 2, "hours_between", true},
    ChillCount{"utah_units", 0, "utah", false},
    ChillCount{"positive_utah_units", 0, "utah_positive_hours", false},
    ChillCount{"vernal_days", 3, "vernal_hours", true},
};

/// Whether a setting is given on every day of a stage, however long it lasts, by day or by night.
bool covers_all_days(const Stage& stage, Measure measure) {
  int covered = 0;  // all days up to this one
  for (bool more = true; more;) {
    more = false;
    for (const Setting& one : stage.settings) {
      if (one.measure != measure || one.from.day > covered + 1) continue;
      if (one.over == no_formula && one.to.last) return true;
      const int end = one.over == no_formula ? one.to.day : one.from.day;
      more = more || end > covered;
      covered = std::max(covered, end);
    }
  }
  return false;
}

}  // namespace

void StageChecker::item(const syntax::StartsWithin& written) {
  const auto found = scope_.find(written.stage, {Declared::Kind::stage}, "a stage", diagnostics_);
  const bool from_start = written.edge.text == "start";
  if (!from_start && written.edge.text != "end") {
    diagnostics_.error("unknown-name", written.edge.span,
                       "`starts within` counts from the `start` or the `end` of a stage.",
                       "Write it like: starts within 10 to 14 days of sowing.start");
    return;
  }
  if (!found) return;
  After after;
  after.stage = StageId(found->index);
  after.edge = from_start ? After::Edge::start : After::Edge::end;
  after.within = true;
  after.span = written.span;
  const syntax::Formula* high = written.range.high ? &*written.range.high : nullptr;
  const auto borrowed = unit_to_borrow(formulas_, {high, &written.range.low});
  const std::string what = "`starts within`";
  after.low = formulas_.check(written.range.low, a_length_of_time, what, borrowed);
  after.high =
      high == nullptr ? after.low : formulas_.check(*high, a_length_of_time, what, borrowed);
  if (after.low != no_formula && after.high != no_formula) stage().after.push_back(after);
}

void StageChecker::item(const syntax::Season& written) {
  const auto day = [&](const syntax::SeasonDay& one) {
    const auto found = calendar::year_day(static_cast<unsigned>(one.day), one.month.text);
    if (!found) {
      diagnostics_.error("no-such-date", one.span,
                         "There is no " + std::to_string(one.day) + " " + one.month.text + ".",
                         "Days of a season are written like `15 May`.");
    }
    return found;
  };
  const auto first = day(written.first);
  const auto last = day(written.last);
  if (first && last) stage().season = Season{*first, *last, written.span};
}

void StageChecker::item(const syntax::Lasts& lasts) {
  const syntax::Formula* high = lasts.range.high ? &*lasts.range.high : nullptr;
  const syntax::Formula* usually = lasts.usually ? &*lasts.usually : nullptr;
  const auto borrowed = unit_to_borrow(formulas_, {high, &lasts.range.low, usually});
  const Type& wanted = lasts.heat ? a_heat_sum : a_length_of_time;
  const auto length = [&](const syntax::Formula& formula) {
    return formulas_.check(formula, wanted, "`lasts`", borrowed);
  };
  Stage& s = stage();
  s.length_span = lasts.span;
  s.shortest = length(lasts.range.low);
  s.longest = high == nullptr ? s.shortest : length(*high);
  if (usually != nullptr) {
    s.usual = length(*usually);
  } else if (high == nullptr) {
    s.usual = s.shortest;
  } else {
    diagnostics_.error("no-usual-length", lasts.span,
                       "A range of lengths needs the usual one, with which plans are made.",
                       "Such as: lasts 4 to 7 days usually 5 days");
  }
  if (lasts.heat) heat(*lasts.heat);
}

void StageChecker::heat(const syntax::Heat& written) {
  Heat heat;
  heat.span = written.span;
  heat.base = formulas_.check(written.base, Type::temperature(), "`above`");
  if (written.upper) {
    heat.upper = formulas_.check(*written.upper, Type::temperature(), "`up to`");
    if (heat.upper == no_formula) return;
  }
  if (written.method) {
    const auto& names = heat_methods();
    if (std::find(names.begin(), names.end(), written.method->text) == names.end()) {
      std::string advice = text::did_you_mean(written.method->text, names);
      if (advice.empty()) advice = "Known ways: " + text::list_words(names, "and") + ".";
      diagnostics_.error(
          "unknown-name", written.method->span,
          "There is no way to count degree-days named `" + written.method->text + "`.", advice);
      return;
    }
    heat.method = written.method->text;
  }
  if (heat.base != no_formula) stage().heat = heat;
}

/// Where the temperature for degree-days comes from: the air that the stage keeps, else its root
/// zone, else the temperatures of the site.
void StageChecker::resolve_heat() {
  Stage& s = stage();
  if (!s.heat) return;
  for (const char* name : {"air", "root_zone"}) {
    for (const Setting& setting : s.settings) {
      if (setting.name != name) continue;
      const bool throughout = setting.from.day == 1 && !setting.from.last && setting.to.last &&
                              setting.over == no_formula;
      if (setting.last != no_formula || setting.high != no_formula || !throughout) {
        diagnostics_.error("changing-temperature", s.heat->span,
                           "Degree-days cannot be worked out from a temperature that changes "
                           "within the stage, or from a range.",
                           "Keep one temperature through the stage (by day and by night), or give "
                           "its length in days.");
        return;
      }
      if (setting.half != Half::night) s.heat->day = setting.first;
      if (setting.half != Half::day) s.heat->night = setting.first;
    }
    if (s.heat->day != no_formula || s.heat->night != no_formula) break;
  }
  if (s.heat->day == no_formula) s.heat->day = s.heat->night;
  if (s.heat->night == no_formula) s.heat->night = s.heat->day;
  if (s.heat->day == no_formula && s.heat->method.empty()) {
    diagnostics_.error("no-method", s.heat->span,
                       "The stage keeps no temperature, so its degree-days come from the site's "
                       "temperatures; then it must say how they are counted.",
                       "Add `by single_sine`, `by average_limited_after` or another; they differ "
                       "on cool days.");
  }
}

void StageChecker::item(const syntax::Gate& written) {
  Gate gate;
  gate.written = written.written.value;
  gate.meaning = canonical_text(written.condition);
  gate.span = written.span;
  const syntax::Formula& condition = written.condition;
  const bool compares =
      condition.kind == syntax::Formula::Kind::apply && is_relation(condition.operation);
  const bool counts = compares && condition.arguments[0].kind == syntax::Formula::Kind::call;
  const std::size_t errors = diagnostics_.count(text::Severity::error);
  if (counts) {
    chilling_gate(condition, gate);
  } else {
    gate.sights = observed(condition, {"A gate", "until", ", at most 21 days"}, gate.observations);
  }
  gate_is_open_ = !written.at_most && diagnostics_.count(text::Severity::error) == errors;
  if (written.at_most) {
    gate.at_most = formulas_.check(*written.at_most, a_length_of_time, "`at most`");
  }
  stage().gate = gate;
}

/// `chill_hours(7 degC) >= 800 hours`, `utah_units() >= 900` or `vernal_days(0 degC, 5 degC, 21
/// degC) >= 40 days`.
void StageChecker::chilling_gate(const syntax::Formula& condition, Gate& gate) {
  const syntax::Formula& call = condition.arguments[0];
  const auto* count =
      std::find_if(chill_counts.begin(), chill_counts.end(), [&](const ChillCount& one) {
        return call.name.text == one.name && call.arguments.size() == one.arguments;
      });
  if (count == chill_counts.end() || condition.operation != Operation::greater_equal) {
    diagnostics_.error("gate-form", call.span, "Chilling is counted until it has reached a value.",
                       "Such as: until chill_hours(7 degC) >= 800 hours, until utah_units() >= 900 "
                       "or until "
                       "vernal_days(-1.3 degC, 4.9 degC, 15.7 degC) >= 40 days");
    return;
  }
  gate.kind = Gate::Kind::chilling;
  gate.method = count->method;
  const auto limit = [&](std::size_t i) {
    return formulas_.check(call.arguments[i], Type::temperature(), "`" + call.name.text + "`");
  };
  if (count->arguments > 1) gate.lower = limit(0);
  if (count->arguments > 2) gate.best = limit(1);
  if (count->arguments > 0) gate.upper = limit(count->arguments - 1);
  gate.target = formulas_.check(condition.arguments[1],
                                Type::quantity(count->is_time ? units::time : units::number),
                                "`" + call.name.text + "`");
}

/// Chilling beside degree-days would leave it open which of them decides the length.
void StageChecker::resolve_gate() {
  const Stage& s = stage();
  if (!s.gate) return;
  watched(s.gate->observations, s.gate->span, "whether the gate is met", "every 3 days");
  if (s.gate->kind == Gate::Kind::chilling) resolve_cold();
  if (gate_is_open_ && !s.gate->kept) {
    diagnostics_.warning("open-gate", s.gate->span,
                         "This gate may keep the stage waiting for ever.",
                         "Say when to give up or act, such as: until callus >= 80 %, at most 21 "
                         "days");
  }
  if (s.gate->kind != Gate::Kind::chilling || !s.heat) return;
  diagnostics_.error("gate-form", s.gate->span,
                     "A stage is over after its degree-days or after its chilling, not both.",
                     "Put them into two stages.");
}

/// Where the temperature for chilling comes from: the air that the stage keeps, else its root zone,
/// else the temperatures of the site. What is kept `at least` or `at most` is left to the weather.
void StageChecker::resolve_cold() {
  Stage& s = stage();
  const auto keeps = [](const Setting& one, Measure measure) {
    const bool open = one.bound == Bound::at_least || one.bound == Bound::at_most;
    return one.measure == measure && !open;
  };
  for (const Measure measure : {Measure::air, Measure::root_zone}) {
    const auto kept = std::find_if(s.settings.begin(), s.settings.end(),
                                   [&](const Setting& one) { return keeps(one, measure); });
    if (kept == s.settings.end()) continue;
    s.gate->kept = measure;
    const auto open_taper = [&](const Setting& one) {
      const bool tapers = one.last != no_formula && one.over == no_formula && one.to.last;
      return one.measure == measure && (one.from.last || tapers);
    };
    if (std::any_of(s.settings.begin(), s.settings.end(), open_taper)) {
      diagnostics_.error("changing-temperature", s.gate->span,
                         "How long chilling takes cannot be worked out from what is set on the "
                         "last day, which hangs on it.",
                         "Say from which day to which the temperature changes, such as: taper air "
                         "8 degC to 2 degC from day 1 to day 10");
    } else if (!covers_all_days(s, measure)) {
      diagnostics_.error("changing-temperature", s.gate->span,
                         "The stage keeps `" + kept->name +
                             "` on some of its days, and it is not "
                             "said how cold it is on the others.",
                         "Keep a temperature on every day, such as: keep air 2 degC from day 11");
    }
    return;
  }
}

}  // namespace budwood::language
