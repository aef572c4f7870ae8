#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "library.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/setting_orders.hpp"
#include "plan/settings/stage_settings.hpp"

/// What the orders of every protocol that ships ask people to set and to measure, read as the
/// person who has the dial, the timer and the jug.
using namespace budwood;
using namespace budwood::library::test;
using language::Measure;

namespace {

/// Whether a value stands on a mark, that is on a multiple of a step.
bool on_mark(double value, double step) {
  const double marks = value / step;
  return std::abs(marks - std::round(marks)) < 1e-6;
}

/// The finest marks of common dials, in the units in which protocols set: common practice, no
/// published source.
double mark_of(const std::string& setting) {
  if (setting == "humidity" || setting == "shade") return 1;  // %
  if (setting == "vpd") return 0.05;                          // kPa
  if (setting == "light") return 5;                           // umol/m2/s
  if (setting == "photoperiod") return 0.25;                  // h
  if (setting == "co2") return 10;                            // ppm
  if (setting == "irrigation") return 0.1;                    // L/m2/day
  return 0.5;                                                 // degC
}

void check_settable(const plan::DaySetting& setting) {
  using Kind = plan::DaySetting::Kind;
  CAPTURE(plan::describe(setting));
  if (setting.kind == Kind::mist) {
    CHECK(on_mark(setting.mist.pulse, 1));
    CHECK(on_mark(setting.mist.interval, 5 * 60));
    return;
  }
  if (setting.kind != Kind::level) return;
  CHECK(on_mark(setting.unit.from_base(setting.low), mark_of(setting.name)));
  CHECK(on_mark(setting.unit.from_base(setting.high), mark_of(setting.name)));
  if (!std::isnan(setting.hours)) CHECK(on_mark(setting.hours, 30 * 60));
}

/// Two figures, or three of which the last is a 5: what jugs, scales and tapes show.
bool is_measured(double amount) {
  if (amount == 0) return true;
  const double power = std::pow(10, std::floor(std::log10(amount) + 1e-9));
  return on_mark(amount / power, amount / power < 2 - 1e-9 ? 0.05 : 0.1);
}

}  // namespace

TEST_CASE("no order asks for a value that a dial or a timer does not have") {
  std::size_t orders = 0;
  for (const double latitude : {52.0, 28.0, -35.0}) {
    book::Site site = weekdays();
    site.latitude = book::Placed<double>{latitude, {}};
    for (const Season& season : seasons()) {
      const calendar::Day north = *calendar::parse_iso_date(season.ready);
      const calendar::Day ready = latitude < 0 ? north + 182 : north;
      const Raised raised(season.protocol, calendar::iso_date(ready), site);
      CAPTURE(std::string(season.protocol));
      for (const plan::SettingOrder& order : plan::setting_orders(raised.plan())) {
        const plan::SettingDetail detail = plan::describe(raised.plan(), order);
        CAPTURE(detail.id);
        for (const plan::DaySetting& change : detail.changes) check_settable(change);
        CHECK(site.working.works(detail.date));
        ++orders;
      }
    }
  }
  CHECK(orders > 1000);
}

TEST_CASE("no order and no need asks for an amount that a measure does not show") {
  std::size_t amounts = 0;
  for (const Season& season : seasons()) {
    const Raised raised(season.protocol, season.ready);
    CAPTURE(std::string(season.protocol));
    for (const plan::WorkOrder& order : raised.plan().orders) {
      for (const plan::SupplyAmount& use : plan::describe(raised.plan(), order).supplies) {
        if (use.unit.dimension == units::count) continue;
        CAPTURE(use.supply);
        CHECK(is_measured(use.unit.from_base(use.amount)));
        ++amounts;
      }
    }
    const plan::Needs needs = plan::total_needs(raised.plan());
    for (const plan::SupplyNeed& need : needs.supplies) {
      double sum = 0;
      for (const plan::Taking& taking : need.takings) sum += taking.amount;
      if (!need.reused) CHECK(need.amount == doctest::Approx(sum));
    }
  }
  CHECK(amounts > 200);
}

TEST_CASE("the water of a taper falls by no more than a third from one day to the next") {
  // As it is set on a timer of common steps. Where plants go from one stage into the next under
  // mist that holds as well.
  std::size_t tapers = 0;
  for (const Season& season : seasons()) {
    const Raised raised(season.protocol, season.ready);
    const sheet::Row row = raised.plan().row_of(raised.plan().batches.front());
    const book::Site& site = raised.plan().book->site;
    for (const language::StageId s : raised.protocol().stages.ids()) {
      const language::Stage& stage = raised.protocol().stages[s];
      if (stage.mists.empty()) continue;
      ++tapers;
      CAPTURE(std::string(season.protocol));
      CAPTURE(stage.name);
      const plan::StageSettings settings(site, row, s);
      const auto fall = plan::steepest_fall(settings);
      if (fall) CAPTURE(fall->offset);
      CHECK_FALSE(fall.has_value());
      for (const language::StageId before : stage.takes) {
        const plan::StageSettings last(site, row, before);
        const auto was = plan::mist_of(last.set(last.days() - 1));
        const auto is = plan::mist_of(settings.set(0));
        if (was && is) CHECK(is->seconds >= was->seconds * 2 / 3 * (1 - 1e-9));
      }
    }
  }
  CHECK(tapers >= 9);
}
