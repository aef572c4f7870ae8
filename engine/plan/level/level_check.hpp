/// Private to this module: what does not fit in the plan that comes of levelled dates.
#pragma once

#include <string>
#include <vector>

#include "plan/level/lessons.hpp"
#include "plan/level/level_problem.hpp"
#include "plan/rooms/load.hpp"

namespace budwood::plan {

/// Something that does not fit although all that have a part in it were placed.
struct Fault {
  std::vector<std::uint32_t> batches;  ///< in Plan::batches; at least one of them can move
  std::string short_of;                ///< in words, without a full stop
  std::vector<std::string> helps;
  std::string crew{};     ///< of which so much is missing on a day; "" of anything else
  calendar::Day day = 0;  ///< the first one
  double seconds = 0;
};

/// Holds a plan made anew against what levelling knew when it chose its dates. What cannot move and
/// does not fit by itself is no fault; nor is what was so before and does not rest on its dates.
class LevelCheck {
 public:
  LevelCheck(const LevelProblem& levelled, const levelling::Season& season, const Plan& today,
             const Plan& anew);

  const std::vector<Fault>& faults() const { return faults_; }
  /// What is to be known the next time.
  const Lessons& learned() const { return learned_; }
  /// Whether some date of a batch can move.
  bool can_move(std::uint32_t batch) const;

 private:
  using Amount = levelling::Amount;
  using Day = calendar::Day;

  void check_rooms(const Load& load);
  void check_crews(const Load& load);
  void check_conflicts();
  Amount unknown(levelling::ResourceId resource, Day day, Amount there, Amount wanted) const;
  std::optional<levelling::ResourceId> resource_of(LevelProblem::Named::Kind kind,
                                                   const std::string& name) const;
  std::vector<std::uint32_t> batches_of(const Conflict& conflict) const;
  bool was_there(const Conflict& conflict) const;
  void learn(const Conflict& conflict, const std::vector<std::uint32_t>& batches);
  void keep_climates(std::uint32_t one, std::uint32_t other);
  void add(Fault fault);

  const LevelProblem& levelled_;
  const levelling::Season& season_;
  const Plan& today_;
  const Plan& anew_;
  /// By resource and day: what the levelled dates take of it.
  std::map<levelling::ResourceId, std::map<Day, Amount>> taken_;
  Lessons learned_;
  std::vector<Fault> faults_;
};

}  // namespace budwood::plan
