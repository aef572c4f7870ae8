#include "pictures/settings_panels.hpp"
#include "plan/settings/stage_settings.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "report/settings/settings_days.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

namespace budwood::pictures {

namespace {

using drawing::DayRange;
using language::Half;
using language::Measure;
using language::StageId;

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// What stands together in a panel.
struct PanelKind {
  const char* title;
  std::vector<Measure> measures;
  bool from_zero;
};

const std::vector<PanelKind>& panel_kinds() {
  static const std::vector<PanelKind> all = {
      {"Temperature", {Measure::air, Measure::leaf, Measure::root_zone}, false},
      {"Humidity", {Measure::humidity}, false},
      {"Vapour pressure deficit", {Measure::vpd}, true},
      {"Light", {Measure::light}, true},
      {"Light sum a day", {Measure::light_sum}, true},
      {"Day length", {Measure::photoperiod}, false},
      {"Night break", {Measure::night_break}, true},
      {"Shade", {Measure::shade}, true},
      {"Carbon dioxide", {Measure::co2}, false},
      {"Water", {Measure::irrigation}, true}};
  return all;
}

/// The stages of a section with their climate.
struct Stretch {
  std::vector<report::SettingsStage> stages;
  DayRange days() const {
    return {stages.front().days.front().date, stages.back().days.back().date};
  }
};

/// Makes the panels of one section.
class Panels {
 public:
  Panels(const plan::Plan& plan, const Stretch& stretch, const DayRange& days)
      : plan_(plan),
        stretch_(stretch),
        days_(days),
        batch_(plan.batches[stretch.stages.front().batch]),
        stages_(plan.protocol_of(batch_).stages) {}

  std::vector<Panel> run() const {
    std::vector<Panel> out;
    for (const PanelKind& kind : panel_kinds()) {
      Panel panel{kind.title, {}, kind.from_zero, {}};
      const units::Unit unit = unit_of(kind);
      panel.unit = unit.symbol;
      for (const Measure measure : kind.measures) add_curves(measure, unit, panel);
      if (!panel.curves.empty()) out.push_back(std::move(panel));
    }
    add_water_by_light(out);
    add_mist(out);
    return out;
  }

 private:
  using Level = std::pair<double, double>;
  /// The value of a stage on one of its days, `offset` 0 for the first; NaNs for none.
  using Value = std::function<Level(StageId stage, int offset)>;

  Curve curve(std::string name, const Value& value) const {
    Curve out{std::move(name), Levels(days_.size(), nothing), Levels(days_.size(), nothing)};
    for (const report::SettingsStage& one : stretch_.stages) {
      for (const report::SettingsDay& day : one.days) {
        const auto at = static_cast<std::size_t>(day.date - days_.first);
        const auto [low, high] = value(one.stage, day.day - 1);
        out.low[at] = low;
        out.high[at] = high;
      }
    }
    return out;
  }
  static bool is_empty(const Curve& one) {
    return std::all_of(one.low.begin(), one.low.end(), [](double v) { return std::isnan(v); });
  }
  static bool same(const Curve& a, const Curve& b) {
    const auto equal = [](double x, double y) {
      return x == y || (std::isnan(x) && std::isnan(y));
    };
    return std::equal(a.low.begin(), a.low.end(), b.low.begin(), equal) &&
           std::equal(a.high.begin(), a.high.end(), b.high.begin(), equal);
  }

  /// As the protocol writes it where it is set, else as reports show it.
  units::Unit unit_of(const PanelKind& kind) const {
    for (const Measure measure : kind.measures) {
      for (const report::SettingsStage& one : stretch_.stages) {
        for (const language::Setting& setting : stages_[one.stage].settings) {
          const bool by_light = setting.light != language::no_formula;
          if (setting.measure == measure && !by_light) return setting.unit;
        }
      }
    }
    for (const report::SettingsColumn& column : report::settings_columns(plan_.book->site.units)) {
      if (column.of == report::SettingsColumn::Of::climate &&
          column.measure == kind.measures.front()) {
        return column.unit;
      }
    }
    return {};
  }

  /// By day and by night; one curve where they never differ.
  void add_curves(Measure measure, const units::Unit& unit, Panel& panel) const {
    std::string name = language::facts_of(measure).name;
    std::replace(name.begin(), name.end(), '_', ' ');
    const auto in_half = [&](Half half) {
      return curve(name, [&, half](StageId stage, int offset) -> Level {
        const sheet::StageClimate climate = plan_.row_of(batch_).climate(stage);
        auto level = climate.level(measure, half, offset);
        if (level && !std::isnan(level->light)) level.reset();  // the weather says what it comes to
        const double worked_out = climate.value(measure, half, offset);
        return {unit.from_base(level ? level->low : worked_out),
                unit.from_base(level ? level->high : worked_out)};
      });
    };
    if (!has_halves(measure)) {
      Curve whole = in_half(Half::both);
      if (!is_empty(whole)) panel.curves.push_back(std::move(whole));
      return;
    }
    Curve day = in_half(Half::day);
    Curve night = in_half(Half::night);
    if (same(day, night)) {
      night.low.assign(night.low.size(), nothing);
    } else {
      day.name += " by day";
      night.name += " by night";
    }
    for (Curve* one : {&day, &night}) {
      if (!is_empty(*one)) panel.curves.push_back(std::move(*one));
    }
  }

  /// Whether reports tell of it by day and by night.
  bool has_halves(Measure measure) const {
    const auto& columns = report::settings_columns(plan_.book->site.units);
    return std::any_of(columns.begin(), columns.end(), [&](const report::SettingsColumn& column) {
      return column.of == report::SettingsColumn::Of::climate && column.measure == measure &&
             column.half != Half::both;
    });
  }

  /// What comes of water by light, as the weather of each day says.
  void add_water_by_light(std::vector<Panel>& out) const {
    const auto& columns = report::settings_columns(plan_.book->site.units);
    const auto column = std::find_if(columns.begin(), columns.end(), [](const auto& one) {
      return one.set && one.measure == Measure::irrigation;
    });
    const auto index = static_cast<std::size_t>(column - columns.begin());
    Curve water{"water", Levels(days_.size(), nothing), Levels(days_.size(), nothing)};
    for (const report::SettingsStage& one : stretch_.stages) {
      const sheet::StageClimate climate = plan_.row_of(batch_).climate(one.stage);
      for (const report::SettingsDay& day : one.days) {
        const auto level = climate.level(Measure::irrigation, Half::both, day.day - 1);
        if (!level || std::isnan(level->light)) continue;
        const auto at = static_cast<std::size_t>(day.date - days_.first);
        water.low[at] = water.high[at] = day.values[index];
      }
    }
    if (is_empty(water)) return;
    out.push_back({"Water by light, a day", column->unit.symbol, true, {std::move(water)}});
  }

  void add_mist(std::vector<Panel>& out) const {
    const auto add = [&](const char* title, const units::Unit& unit, const char* name,
                         const std::function<double(StageId, int)>& value) {
      Curve one = curve(name, [&](StageId stage, int offset) -> Level {
        const double base = value(stage, offset);
        return {unit.from_base(base), unit.from_base(base)};
      });
      if (!is_empty(one)) out.push_back({title, unit.symbol, true, {std::move(one)}});
    };
    const auto interval = [&](StageId stage, int offset) {
      const auto pulses = plan_.row_of(batch_).climate(stage).mist(offset);
      double shortest = nothing;
      for (const sheet::StageClimate::Pulses& one : pulses) {
        shortest = std::fmin(shortest, one.programme.interval);
      }
      return shortest;
    };
    const auto total = [&](StageId stage, int offset, bool pulses) {
      const auto mist = plan::mist_of(
          plan::StageSettings(plan_.book->site, plan_.row_of(batch_), stage).asked(offset));
      if (!mist) return nothing;
      return pulses ? static_cast<double>(mist->pulses) : mist->seconds;
    };
    add("Mist, from pulse to pulse", *units::find_unit("min"), "mist every", interval);
    add("Mist pulses a day", {}, "pulses",
        [&](StageId stage, int offset) { return total(stage, offset, true); });
    add("Mist time a day", *units::find_unit("s"), "mist",
        [&](StageId stage, int offset) { return total(stage, offset, false); });
  }

  using Levels = std::vector<double>;

  const plan::Plan& plan_;
  const Stretch& stretch_;
  DayRange days_;
  const plan::BatchPlan& batch_;
  const std::vector<language::Stage>& stages_;
};

/// Stages of a part follow each other; where they overlap by more than the day that a short one
/// shares with the next, they need sections of their own.
std::vector<Stretch> stretches_of(const plan::Plan& plan, const report::Filter& filter) {
  std::vector<Stretch> out;
  report::for_each_stage(
      plan, filter, plan.book->site.units, [&](const report::SettingsStage& one) {
        const auto part_of = [&](const report::SettingsStage& stage) {
          return plan.protocol_of(plan.batches[stage.batch]).stages[stage.stage].part;
        };
        const auto follows = [&](const Stretch& stretch) {
          const report::SettingsStage& last = stretch.stages.back();
          return last.batch == one.batch && part_of(last) == part_of(one) &&
                 last.days.back().date <= one.days.front().date;
        };
        const auto found = std::find_if(out.begin(), out.end(), follows);
        if (found != out.end()) {
          found->stages.push_back(one);
        } else {
          out.push_back({{one}});
        }
        return true;
      });
  return out;
}

SettingsSpan span_of(const language::Stage& stage, const report::SettingsStage& one) {
  SettingsSpan span;
  span.title = report::shown_name(stage);
  span.first = one.days.front().date;
  span.day = one.days.front().day + one.days.front().waited;
  for (const report::SettingsDay& day : one.days) ++(day.waited > 0 ? span.waits : span.days);
  return span;
}

}  // namespace

SettingsPicture settings_picture(const plan::Plan& plan, const report::Filter& filter) {
  SettingsPicture out;
  const std::vector<Stretch> stretches = stretches_of(plan, filter);
  for (const Stretch& one : stretches) {
    const DayRange days = one.days();
    out.days = out.days.empty() ? days
                                : DayRange{std::min(out.days.first, days.first),
                                           std::max(out.days.last, days.last)};
  }
  for (const Stretch& one : stretches) {
    const std::size_t batch = one.stages.front().batch;
    const language::Protocol& protocol = plan.protocol_of(plan.batches[batch]);
    const auto& part = protocol.parts[protocol.stages[one.stages.front().stage].part];
    Section section{batch, report::shown_name(part), {}, {}};
    for (const report::SettingsStage& stage : one.stages) {
      section.spans.push_back(span_of(protocol.stages[stage.stage], stage));
    }
    section.panels = Panels(plan, one, out.days).run();
    if (!section.panels.empty()) out.sections.push_back(std::move(section));
  }
  return out;
}

}  // namespace budwood::pictures
