/// Private to this module: a plan as a problem of levelling.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "levelling/levelling.hpp"
#include "plan/level/level.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_places.hpp"
#include "sheet/dates/date_bonds.hpp"

namespace budwood::plan {

struct LevelOptions;

/// What a plan asks of levelling. A group is a batch, or the cultivars of one together. Points are
/// those of the dates of its protocol (`sheet::DateLayout`); resources are the rooms that hold
/// something, then the crews.
class LevelProblem {
 public:
  LevelProblem(const Plan& plan, const LevelOptions& options);

  const levelling::Problem& problem() const { return problem_; }
  /// By point: the days of today's plan.
  const std::vector<levelling::Day>& today() const { return today_; }

  struct Group {
    std::vector<std::uint32_t> batches;  ///< in Plan::batches; the first one has the dates
    levelling::PointId first = 0;        ///< its first point; the last one is the day it is ready
    levelling::PointId ready = 0;
    int priority = 1;
    bool stays = false;
  };
  const std::vector<Group>& groups() const { return groups_; }

  /// The orders of the plan that stand for a use of a crew; -1: a stage in a room.
  std::int64_t order_of(std::size_t use) const { return order_of_[use]; }

  struct Named {
    bool room = false;
    std::string name;
    units::Unit unit;  ///< of a room
    double step = 1;   ///< amounts in one base unit
  };
  const Named& name_of(levelling::ResourceId resource) const { return names_[resource]; }

  /// Groups that cannot be moved, because their dates rest on more than levelling knows.
  const std::vector<levelling::GroupId>& held() const { return held_; }

 private:
  void add_resources();
  void set_capacities();
  void add_groups();
  void add_dates(levelling::GroupId group);
  void keep_start(const Group& group, const sheet::Row& row, levelling::Day start, int early,
                  int late);
  bool add_bonds(const Group& group, const network::Network& network);
  bool meets_bonds(const Group& group, std::size_t first_lag, std::size_t first_length) const;
  void hold(levelling::GroupId group, std::size_t first_lag, std::size_t first_length);
  void freeze(levelling::PointId point);
  void add_objectives(const Group& group);
  void add_stays(const Group& group);
  void add_stay(const Group& group, std::uint32_t batch, std::span<const Standing> levels);
  void add_orders();
  void add_order(const WorkOrder& order, std::uint32_t index);

  const Plan& plan_;
  const LevelOptions& options_;
  RoomPlaces places_;
  sheet::WorkingDayWait wait_;
  std::vector<std::unique_ptr<sheet::DateBonds>> bonds_;  ///< by sheet
  levelling::Problem problem_;
  std::vector<levelling::Day> today_;
  std::vector<Group> groups_;
  std::vector<levelling::GroupId> group_of_;  ///< by batch
  std::vector<std::int64_t> order_of_;
  std::vector<Named> names_;
  std::vector<std::int32_t> resource_of_room_;  ///< by room; -1: it is never full
  std::map<std::string, levelling::ResourceId> resource_of_crew_;
  std::vector<levelling::GroupId> held_;
};

}  // namespace budwood::plan
