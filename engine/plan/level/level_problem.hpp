/// Private to this module: a plan as a problem of levelling.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "levelling/levelling.hpp"
#include "plan/level/lessons.hpp"
#include "plan/level/level.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_places.hpp"
#include "sheet/dates/date_bonds.hpp"

namespace budwood::plan {

struct LevelOptions;

/// Parts of a plant, a square metre or a second; fine enough that rounding adds up to nothing.
inline constexpr double room_step = 1e6;
inline constexpr double crew_step = 1e3;
/// How far beyond its last day it is looked for what would help a batch.
inline constexpr levelling::Day most_days_later = 56;
/// An amount in such steps, rounded up.
levelling::Amount steps_of(double amount, double step);

/// What a plan asks of levelling. A group is a batch, or the cultivars of one together. Points are
/// those of the dates of its protocol (`sheet::DateLayout`); resources are the rooms that hold
/// something, then the crews, then the crews that have duty on closed days, then what is kept apart
/// by what was learned (`Lessons`).
class LevelProblem {
 public:
  LevelProblem(const Plan& plan, const LevelOptions& options, const Lessons& lessons = {});

  const levelling::Problem& problem() const { return problem_; }
  /// By point: the days of today's plan.
  const std::vector<levelling::Day>& today() const { return today_; }

  struct Group {
    std::vector<std::uint32_t> batches;  ///< in Plan::batches; the first one has the dates
    levelling::PointId first = 0;        ///< its first point; the last one is the day it is ready
    levelling::PointId ready = 0;
    levelling::Day asked = 0;  ///< when it is to be ready
    int priority = 1;
    bool stays = false;
  };
  const std::vector<Group>& groups() const { return groups_; }

  /// The order that stands for a use of a crew; nullptr for all else. It may be one that today's
  /// plan leaves out, because nobody works on its day.
  const WorkOrder* order_of(std::size_t use) const;
  levelling::Day asked(levelling::GroupId group) const { return groups_[group].asked; }
  bool duty_is_open() const { return lessons_.open_duty; }
  bool has_duty() const { return !resource_of_duty_.empty(); }
  levelling::GroupId group_of(std::uint32_t batch) const { return group_of_[batch]; }
  /// Whether a batch has dates to move.
  bool is_grouped(std::uint32_t batch) const { return group_of_[batch] < groups_.size(); }

  struct Named {
    enum class Kind : std::uint8_t { room, crew, duty, apart };
    Kind kind = Kind::room;
    std::string name;  ///< of what is kept apart: why, "`glass` is kept in another climate"
    units::Unit unit;  ///< of a room
    double step = 1;   ///< amounts in one base unit
    bool is_crew() const { return kind == Kind::crew || kind == Kind::duty; }
  };
  const Named& name_of(levelling::ResourceId resource) const { return names_[resource]; }

  /// Groups that cannot be moved, because their dates rest on more than levelling knows.
  const std::vector<levelling::GroupId>& held() const { return held_; }

 private:
  void add_resources();
  void add_crews();
  void set_capacities();
  void set_hours(const std::string& name, const book::Crew& crew, calendar::Day first,
                 calendar::Day last);
  void set_duty(const std::string& name, const book::Crew& crew, calendar::Day first,
                calendar::Day last);
  void take_less();
  void add_groups();
  void add_dates(levelling::GroupId group);
  void keep_start(const Group& group, const sheet::Row& row, levelling::Day start, int early,
                  int late);
  bool add_bonds(const Group& group, const network::Network& network);
  bool meets_bonds(const Group& group, std::size_t first_lag, std::size_t first_length) const;
  void hold(levelling::GroupId group, std::size_t first_lag, std::size_t first_length);
  void freeze(levelling::PointId point);
  void add_objectives(Group& group);
  void add_stays(const Group& group);
  void add_stay(const Group& group, std::uint32_t batch, std::span<const Standing> levels);
  levelling::PointId left_by(const Group& group, const std::vector<language::StageId>& next) const;
  bool has_one_length(levelling::PointId start, levelling::PointId end) const;
  void add_use(const levelling::Use& use, std::int64_t order = -1);

  // level_orders.cpp
  void add_orders();
  void add_order(const WorkOrder& order, std::int64_t index);
  void add_duty(const WorkOrder& order, std::int64_t index);
  void add_left_out();
  void add_left_out(std::uint32_t batch, language::StageId stage, language::WorkId work);
  bool keeps_its_day(const WorkOrder& order) const;

  // level_apart.cpp
  void add_lessons();
  void keep_off(std::uint32_t batch, language::StageId stage, calendar::Day day);
  void add_climates();
  void add_closures();
  levelling::ResourceId add_apart(std::string why);

  const Plan& plan_;
  const LevelOptions& options_;
  const Lessons lessons_;
  RoomPlaces places_;
  sheet::WorkingDayWait wait_;
  std::vector<std::unique_ptr<sheet::DateBonds>> bonds_;  ///< by sheet
  levelling::Problem problem_;
  std::vector<levelling::Day> today_;
  std::vector<Group> groups_;
  std::vector<levelling::GroupId> group_of_;  ///< by batch
  std::vector<std::int64_t> order_of_;        ///< in Plan::orders, then in extra_; -1: none
  std::vector<WorkOrder> extra_;              ///< left out today
  std::vector<std::unique_ptr<calendar::DaySet>> days_;  ///< that points may fall on
  std::vector<Named> names_;
  std::vector<std::int32_t> resource_of_room_;  ///< by room; -1: it is never full
  std::map<std::string, levelling::ResourceId> resource_of_crew_;
  std::map<std::string, levelling::ResourceId> resource_of_duty_;
  std::vector<levelling::GroupId> held_;
  std::vector<std::size_t> first_lag_;  ///< by group: in Problem::lags
};

}  // namespace budwood::plan
