#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "book/library.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"

/// Protocols of the library that ships, for tests that hold their figures against published ones.
namespace budwood::library::test {

constexpr double week = 7;

/// Sources in degrees Fahrenheit, 9/5 of a degree and 32 more.
inline double celsius(double fahrenheit) {
  return (fahrenheit - 32) / 1.8;
}

/// All that ships, read once.
class Shelf {
 public:
  static const Shelf& shipped() {
    static const Shelf shelf;
    return shelf;
  }
  /// The protocol, held against the rules of good practice; the test fails when there is none.
  const language::Protocol& protocol(const std::string& name) const {
    for (const language::Protocol& p : library_.protocols) {
      if (p.name == name) return p;
    }
    FAIL("there is no protocol ", name, "\n", problems_);
    return library_.protocols.front();
  }
  const std::vector<language::Protocol>& protocols() const { return library_.protocols; }

 private:
  Shelf() {
    text::Diagnostics diagnostics;
    library_ = book::read_library({{BUDWOOD_PROTOCOLS, {}}}, {}, sources_, diagnostics);
    book::Site site;
    for (const language::RuleSet& set : library_.rule_sets) {
      site.rules.emplace_back();
      site.rules.back().value = set.name;
    }
    book::make_own(site, diagnostics, library_);
    for (const text::Diagnostic& d : diagnostics.sorted()) problems_ += d.message + "\n";
  }

  text::Sources sources_;
  language::Document library_;
  std::string problems_;
};

/// A length, a share or any other value with its range, in the unit that was asked for.
struct Range {
  double lowest = 0, usual = 0, highest = 0;
};

/// One batch of a shipped protocol, planned at a site that works every day unless it says
/// otherwise. Names that the protocol does not have fail the test.
class Raised {
 public:
  /// 1000 plants ready by a date.
  explicit Raised(const std::string& protocol, const std::string& ready = "2027-05-14",
                  const book::Site& site = every_day())
      : protocol_(Shelf::shipped().protocol(protocol)) {
    book_.site = site;
    book_.protocols = {protocol_};
    book::Batch batch;
    batch.id.value = "T1";
    batch.protocol.value = protocol;
    batch.plants.value = 1000;
    batch.ready = book::Placed<calendar::Day>{*calendar::parse_iso_date(ready), {}};
    book_.batches.push_back(std::move(batch));
    plan_ = plan::make_plan(book_, diagnostics_);
    REQUIRE(plan_.batches.size() == 1);
  }
  Raised(const Raised&) = delete;
  Raised& operator=(const Raised&) = delete;

  const language::Protocol& protocol() const { return protocol_; }
  const plan::Plan& plan() const { return plan_; }
  bool dated() const { return plan_.batches.front().dated; }

  /// What keeps it from being carried out, and what is said of it; "" when all is well.
  std::string problems() const {
    std::string out;
    for (const text::Diagnostic& d : diagnostics_.sorted()) {
      if (d.severity == text::Severity::note) continue;
      if (d.code != "missing-room" && d.code != "missing-crew")
        out += d.code + " " + d.message + "\n";
    }
    for (const plan::Conflict& c : plan_.conflicts) out += c.code + " " + c.message + "\n";
    return out;
  }

  language::StageId stage_index(const std::string& name) const {
    const language::StageId found = protocol_.stages.find(name);
    if (!found.known()) FAIL(protocol_.name, " has no stage ", name);
    return found;
  }
  const language::Stage& stage(const std::string& name) const {
    return protocol_.stages[stage_index(name)];
  }

  /// A cell by its name, in base units: `take`, `grafting.start`.
  double cell(const std::string& name) const {
    const sheet::CellId id = layout().find(name);
    INFO(protocol_.name, " ", name);
    REQUIRE(id != sheet::no_cell);
    return sheet().value(id, 0);
  }
  /// An input, usual value and range, in a unit: `input("take", "%")`.
  Range input(const std::string& name, const std::string& unit) const {
    for (const language::Input& i : protocol_.inputs) {
      if (i.name != name) continue;
      const units::Unit u = *units::find_unit(unit);
      const auto of = [&](language::FormulaId id) {
        return id == language::no_formula ? std::nan("") : u.from_base(protocol_.node(id).value);
      };
      return {of(i.lowest), of(i.usual), of(i.highest)};
    }
    FAIL(protocol_.name, " has no input ", name);
    return {};
  }
  /// How long a stage lasts, days; the highest counts what a gate may ask for.
  Range length(const std::string& name) const {
    const sheet::StageCells& c = layout().stages[stage_index(name)];
    const auto of = [&](sheet::CellId id) {
      return id == sheet::no_cell ? 0 : sheet().value(id, 0);
    };
    const double usual = of(c.usual);
    const double shortest = c.shortest == sheet::no_cell ? usual : of(c.shortest);
    const double longest = c.longest == sheet::no_cell ? usual : of(c.longest);
    return {shortest, usual, std::max(longest, of(c.gate_limit))};
  }
  /// The start of a stage, as a day.
  double start(const std::string& name) const { return cell(name + ".start"); }
  double end(const std::string& name) const { return cell(name + ".end"); }

  /// A setting on a day of a stage, in the unit in which it is usually given (degC, %, umol/m2/s,
  /// pulses a day); a NaN when nothing is set. Day 0 is the last day.
  double setting(const std::string& name, const std::string& measure, int day,
                 language::Half half = language::Half::both) const {
    const language::MeasureFacts* facts = language::find_measure(measure);
    INFO(measure);
    REQUIRE(facts != nullptr);
    const sheet::StageClimate climate = sheet().climate(stage_index(name), 0);
    const int offset = day == 0 ? climate.days() - 1 : day - 1;
    const double base = climate.value(facts->measure, half, offset);
    const auto unit = units::find_unit(facts->unit);
    return unit ? unit->from_base(base) : base;
  }

  /// The orders of a stage whose work has a tag, or any work when it is "".
  std::vector<plan::WorkOrder> orders(const std::string& name, const std::string& tag = "") const {
    std::vector<plan::WorkOrder> out;
    for (const plan::WorkOrder& order : plan_.orders) {
      if (order.stage != stage_index(name)) continue;
      const std::vector<std::string>& tags = protocol_.stages[order.stage].works[order.work].tags;
      if (tag.empty() || std::find(tags.begin(), tags.end(), tag) != tags.end())
        out.push_back(order);
    }
    return out;
  }

  /// Whether a text stands in the sources or notes of the protocol, its stages or its tables.
  bool cites(const std::string& text) const {
    const auto in = [&](const std::vector<std::string>& lines) {
      return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
        return line.find(text) != std::string::npos;
      });
    };
    return in(protocol_.sources) || in(protocol_.notes) ||
           std::any_of(protocol_.stages.begin(), protocol_.stages.end(),
                       [&](const language::Stage& s) { return in(s.sources) || in(s.notes); }) ||
           std::any_of(
               protocol_.tables.begin(), protocol_.tables.end(),
               [&](const language::Table& t) { return t.source.find(text) != std::string::npos; });
  }

 private:
  /// A site that says nothing, and so works every day.
  static const book::Site& every_day() {
    static const book::Site site;
    return site;
  }
  const sheet::Sheet& sheet() const { return plan_.sheet_of(plan_.batches.front()); }
  const sheet::Template& layout() const { return sheet().layout(); }

  language::Protocol protocol_;
  book::Book book_;
  text::Diagnostics diagnostics_;
  plan::Plan plan_;
};

/// A protocol, and a day by which a batch of it can be ready.
struct Season {
  const char* protocol;
  const char* ready;
};
/// Every protocol that ships, with a day in the season in which such plants are sold: common
/// practice. One that counts the winter's cold or spring's warmth is left out: it needs the
/// temperatures of a site.
inline const std::vector<Season>& seasons() {
  static const std::vector<Season> all = {
      {"air_layering", "2027-12-17"},
      {"apple_seed", "2027-11-26"},
      {"approach_graft", "2027-05-14"},
      {"bulb_scaling", "2027-10-29"},
      {"bulb_scaling.cellar", "2027-10-29"},
      {"chip_bud", "2028-11-30"},
      {"cold_stratified_seed", "2027-10-01"},
      {"conifer_cuttings", "2027-09-24"},
      {"conifer_veneer_graft", "2027-10-15"},
      {"division", "2027-07-30"},
      {"dormant_bench_graft", "2027-12-10"},
      {"eggplant_on_wild_stock", "2027-05-28"},
      {"fern_spores", "2028-05-12"},
      {"ginger_division", "2027-06-18"},
      {"grape_bench_graft", "2027-07-02"},
      {"hardwood_cuttings", "2027-12-10"},
      {"hole_insertion_graft", "2027-05-14"},
      {"leaf_cuttings", "2027-10-15"},
      {"melon_on_fig_leaf_gourd", "2027-05-07"},
      {"micropropagation", "2028-06-30"},
      {"mound_layering", "2027-03-12"},
      {"one_cotyledon_graft", "2027-05-14"},
      {"onion_flats", "2027-04-16"},
      {"peach_seed", "2027-11-26"},
      {"plug_seedlings", "2027-05-14"},
      {"quarantine", "2027-05-14"},
      {"root_cuttings", "2027-06-25"},
      {"rose_budding", "2028-12-08"},
      {"scouting", "2027-08-27"},
      {"semi_ripe_cuttings", "2027-07-30"},
      {"softwood_cuttings", "2027-05-14"},
      {"strawberry_runners", "2027-09-03"},
      {"t_bud", "2028-11-30"},
      {"tomato_on_eggplant", "2027-05-14"},
      {"tomato_splice_graft", "2027-05-14"},
      {"top_working", "2028-02-18"},
  };
  return all;
}

/// Whether a value lies from one to another, both included.
inline bool within(double value, double low, double high) {
  return value >= low - 1e-9 && value <= high + 1e-9;
}

/// A site that works Monday to Friday.
inline book::Site weekdays() {
  using calendar::Weekday;
  book::Site site;
  site.working = calendar::WorkingDays(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {});
  return site;
}

/// The same, with somebody who looks after the plants on weekends.
inline book::Site weekdays_with_duty() {
  book::Site site = weekdays();
  book::Crew carers;
  carers.duty = book::Duty{book::WeekHours(2 * 3600), "", {}};
  site.crews["carers"] = carers;
  return site;
}

}  // namespace budwood::library::test
