/// Private to this module: some batches alone, beside what all others take.
#pragma once

#include <map>
#include <optional>
#include <vector>

#include "plan/level/level_problem.hpp"

namespace budwood::plan {

class Beside {
 public:
  using Amounts = std::map<calendar::Day, levelling::Amount>;
  using More = std::map<levelling::ResourceId, Amounts>;

  /// `takes` is by group: whether it takes what its days in the schedule say. What the chosen ones
  /// take there does not count.
  Beside(const LevelProblem& levelled, const levelling::Schedule& schedule,
         const std::vector<bool>& takes, const std::vector<levelling::GroupId>& chosen);

  /// By how many days later than its latest the only group would find a place.
  std::optional<calendar::Day> days_later() const;
  /// The largest share of it, in tenths, that finds a place.
  int tenths_that_fit() const;
  /// Of each resource the days on which some is missing where the groups would stand best, and how
  /// much; `on_time`: none of them may be later than it was asked for.
  More missing(bool on_time) const;

  struct Places {
    std::vector<bool> placed;          ///< by place among the chosen ones
    std::vector<calendar::Day> ready;  ///< the same
    std::vector<calendar::Day> late;   ///< days after the one that is asked for
    More needed;                       ///< what they take that is not there without more
  };
  /// Where they find places when there is so much more.
  Places with(const More& more) const;

 private:
  struct Span {
    calendar::Day first = 0, end = 0;
  };
  static Span span_of(const levelling::Use& use, const levelling::Schedule& schedule,
                      std::size_t id);
  void add(const LevelProblem& levelled, levelling::GroupId group);
  void open(const levelling::Resource& resource, bool apart);
  void take(const levelling::Use& use, Span span);
  More over(const levelling::Season& found, const std::vector<bool>& counted) const;
  levelling::Season place(const levelling::Problem& problem) const;

  struct Group {
    levelling::PointId first = 0, ready = 0;  ///< in alone_
    calendar::Day asked = 0;
  };
  levelling::Problem alone_;
  std::vector<Group> groups_;
  std::vector<levelling::PointId> local_;  ///< by point of the whole problem
  std::vector<bool> is_apart_;             ///< by resource
  std::vector<calendar::Day> wanted_;
  calendar::Day first_ = 0, last_ = 0;  ///< about which days they can reach
};

}  // namespace budwood::plan
