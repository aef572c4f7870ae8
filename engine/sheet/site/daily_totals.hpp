/// Totals are whole numbers, in steps of 2^-32 base units, so that adding and giving back in
/// any order ends at the same bits as adding up anew. Kept is what is taken more than the day
/// before, so a stage of forty days costs as much as one of two.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "calendar/calendar.hpp"
#include "units/units.hpp"

namespace budwood::sheet {

using calendar::Day;

/// What a site has a limited amount of, or uses up.
struct Resource {
  enum class Kind : std::uint8_t { room, crew, supply };
  Kind kind = Kind::room;
  std::string name;  ///< as in the protocols; "" is work without a crew
  units::Dimension dimension;
  std::string noun;  ///< for counted things what is counted: "trays"
  friend bool operator==(const Resource&, const Resource&) = default;
};

/// How much of each resource is taken on each day: of a room its space (in its own unit), of a crew
/// person-seconds, of a supply what is used up, or what is out of one that comes back; base units.
/// Work stands on the day on which it is done first: plans spread what is more than a crew does in
/// a day, and add what is spoilt of supplies.
///
/// Amounts are kept in steps of 2^-32 base units and added up as whole numbers, so that a total is
/// the same in whatever order amounts came and went.
class DailyTotals {
 public:
  /// Amounts beyond this are not taken: they would be slips that no total should hide. Nine million
  /// of them still add up without overflow.
  static constexpr double most = 1e12;

  /// The number of a resource, which is added when it is new.
  std::uint32_t number_of(const Resource& resource);
  const std::vector<Resource>& resources() const { return resources_; }
  std::optional<std::uint32_t> find(Resource::Kind kind, std::string_view name) const;

  /// Takes an amount on the days from `first` up to and without `end`; `give_back` undoes it.
  void take(std::uint32_t resource, Day first, Day end, double amount) {
    change(resource, first, end, amount, 1);
  }
  void give_back(std::uint32_t resource, Day first, Day end, double amount) {
    change(resource, first, end, amount, -1);
  }
  /// Counts something whose amount or days have no value, so that the totals lack it.
  void miss(std::uint32_t resource, int count) { series_[resource].missing += count; }

  /// The same resources, of which nothing is taken; and what was taken of such a one, taken here.
  DailyTotals emptied() const;
  void add(const DailyTotals& other);

  double on(std::uint32_t resource, Day day) const;
  /// The days from the first to the last on which some is taken, and the total on each of them.
  struct Profile {
    Day first = 0;
    std::vector<double> days;
  };
  Profile profile(std::uint32_t resource) const;
  /// How many stages, works or uses the totals lack because they have no value.
  int missing(std::uint32_t resource) const { return series_[resource].missing; }

 private:
  /// A number of base units: whole ones and 2^-32 parts, both signed.
  struct Amount {
    std::int64_t whole = 0;
    std::int64_t part = 0;
    double value() const;
  };
  /// What is taken more on a day than on the day before.
  struct Series {
    Day first = 0;
    std::vector<Amount> steps;
    int missing = 0;
  };

  void change(std::uint32_t resource, Day first, Day end, double amount, int sign);
  static Amount& step_on(Series& series, Day day);

  std::vector<Resource> resources_;
  /// The numbers of those of one kind and name: most often one.
  std::map<std::pair<Resource::Kind, std::string>, std::vector<std::uint32_t>> numbers_;
  std::vector<Series> series_;
};

}  // namespace budwood::sheet
