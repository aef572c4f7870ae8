/// What came of the batches of a book: counts and losses from the record, and from the plan what
/// nobody noted. One outcome is one count of one stage: of the whole batch, of a tray, of a sample.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "language/id.hpp"
#include "plan/plan.hpp"
#include "statistics/differences.hpp"

namespace budwood::results {

/// So many plants went into a stage, so many were alive when it was counted last.
struct Outcome {
  std::uint32_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  std::string tray;           ///< "" for the whole stage
  statistics::Group plants;   ///< alive, of so many
  bool start_noted = true;    ///< false: nobody noted how many there were, the plan says
  calendar::Day began = 0;    ///< the stage, as planned or noted
  calendar::Day counted = 0;  ///< when they were counted last
  std::string person;         ///< who did the work of the stage, "" when nobody said
};

/// A job that somebody timed: so many plants in so much time of people.
struct TimedJob {
  std::uint32_t batch = 0;
  language::StageId stage;
  std::string work;  ///< the title
  std::string person;
  calendar::Day day = 0;
  double plants = 0;
  double seconds = 0;
  std::optional<double> planned_seconds;  ///< for as many plants, as the protocol has it
};

/// A stage of which both ends were noted.
struct StageDays {
  std::uint32_t batch = 0;
  language::StageId stage;
  calendar::Day began = 0;
  double days = 0;
  double usual = 0, shortest = 0, longest = 0;  ///< as the protocol has it
};

/// Something of the record that no outcome could be made of, in words.
struct LeftOut {
  std::string batch;
  std::string message;
};

/// The counts of all batches, by batch and stage, trays by their names. A stage that was counted by
/// trays has an outcome for each of them and none for all together. Counts above what was there are
/// left out, and so are trays of which nobody noted how many plants they had; both are told.
std::vector<Outcome> outcomes_of(const plan::Plan& plan, std::vector<LeftOut>& left_out);
std::vector<TimedJob> timed_jobs(const plan::Plan& plan);
std::vector<StageDays> stage_days(const plan::Plan& plan);

}  // namespace budwood::results
