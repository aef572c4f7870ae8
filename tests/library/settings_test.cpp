#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
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

namespace {

/// Temperatures of a year that swings with the seasons, for protocols that count warmth and cold.
std::shared_ptr<const climate::DailySeries> year_at(double latitude) {
  std::vector<climate::SeriesRow> rows;
  constexpr double zero = 273.15;
  const double mean = 27 - 0.35 * std::abs(latitude);
  const double swing = 0.22 * std::abs(latitude);
  const calendar::Day first = *calendar::parse_iso_date("2024-01-01");
  for (calendar::Day day = first; day < first + 8 * 365; ++day) {
    const double turn = std::cos(2 * 3.14159265 * ((day - first) % 365 - 200) / 365.0);
    const double of_day = mean + swing * (latitude < 0 ? -turn : turn);
    rows.push_back({day, {zero + of_day - 5, zero + of_day + 5}});
  }
  return std::make_shared<climate::DailySeries>(*climate::DailySeries::from_rows(rows));
}

/// All that ships, a batch of each ready in every month, at one site.
class Year {
 public:
  explicit Year(double latitude) {
    book_.site = weekdays_with_duty();
    book_.site.latitude = book::Placed<double>{latitude, {}};
    book_.site.climate = year_at(latitude);
    book_.protocols = Shelf::shipped().protocols();
    for (const language::Protocol& protocol : book_.protocols) {
      for (int month = 1; month <= 12; ++month) {
        book::Batch batch;
        batch.id.value = protocol.name + "_" + std::to_string(month);
        batch.protocol.value = protocol.name;
        batch.plants.value = 600;
        const calendar::Date date{2028, static_cast<unsigned>(month), 16};
        batch.ready = book::Placed<calendar::Day>{*calendar::day_of(date), {}};
        book_.batches.push_back(std::move(batch));
      }
    }
    plan_ = plan::make_plan(book_, diagnostics_);
  }
  const plan::Plan& plan() const { return plan_; }
  const book::Site& site() const { return book_.site; }

 private:
  book::Book book_;
  text::Diagnostics diagnostics_;
  plan::Plan plan_;
};

std::string joined(const std::set<std::string>& lines) {
  std::string out;
  for (const std::string& line : lines) out += line + "\n";
  return out;
}

/// The title of a work, its stage and its batch.
std::string told(const plan::Plan& plan, const plan::WorkOrder& order) {
  const plan::OrderDetail detail = plan::describe(plan, order);
  return detail.title + " (" + detail.stage + " of " + detail.batch + ")";
}

}  // namespace

TEST_CASE(
    "every protocol at three sites in every month: no order for nobody, none that cannot be set") {
  for (const double latitude : {52.0, 28.0, -35.0}) {
    CAPTURE(latitude);
    const Year year(latitude);
    const plan::Plan& plan = year.plan();
    std::map<std::string, int> months;
    for (const plan::BatchPlan& batch : plan.batches) {
      if (batch.dated) ++months[plan.protocol_of(batch).name];
    }
    for (const language::Protocol& protocol : plan.book->protocols) {
      CAPTURE(protocol.name);
      CHECK(months[protocol.name] >= 1);
    }
    std::set<std::string> nobody;
    std::set<std::string> odd_amounts;
    for (const plan::WorkOrder& order : plan.orders) {
      if (!order.on_duty && !year.site().working.works(order.date))
        nobody.insert(told(plan, order));
      for (const plan::SupplyAmount& use : plan::describe(plan, order).supplies) {
        if (use.unit.dimension == units::count || is_measured(use.unit.from_base(use.amount)))
          continue;
        odd_amounts.insert(use.supply + " of " + told(plan, order));
      }
    }
    CHECK(joined(nobody) == "");
    CHECK(joined(odd_amounts) == "");
    for (const plan::SettingOrder& order : plan::setting_orders(plan)) {
      const plan::SettingDetail detail = plan::describe(plan, order);
      CAPTURE(detail.id);
      for (const plan::DaySetting& change : detail.changes) check_settable(change);
    }
  }
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
