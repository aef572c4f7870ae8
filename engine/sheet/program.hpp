#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "calendar/calendar.hpp"
#include "sheet/operations.hpp"
#include "statistics/statistics.hpp"

namespace budwood::sheet {

/// A cell of a template; a column of a sheet.
using CellId = std::uint32_t;
inline constexpr CellId no_cell = 0xFFFFFFFFU;

/// One step of a formula in postfix order.
struct Instruction {
  enum class Code : std::uint8_t {
    constant,    ///< pushes `value`
    cell,        ///< pushes the column `index`
    operation,   ///< pops its arguments, pushes the result
    look_up,     ///< pops a value, pushes the entry of tables[index]
    whole_days,  ///< pops a time, pushes days: 0 within a shift of `value` seconds, else rounded up
    floor_days,  ///< pops a time, pushes full days
    start,       ///< pops sureness, (seen, good, survival) for each of `index` losses, and a need;
                 ///< pushes how many to start; `value` chains of the protocol lose plants
    reading,     ///< pushes what readings[index] asks of the climate of its stage
    turns,       ///< pops a start and a length in days, pushes how often works[index] is done
  };
  Code code = Code::constant;
  Operation operation = Operation::add;
  std::uint32_t index = 0;
  double value = 0;
};

/// Linear interpolation between the points of a table; no value outside them.
double look_up(const language::Table& table, double at);

/// The share that comes through a stage: as it stands, or, when some were counted, what the count
/// has taught about it. Nothing when there is no such share.
std::optional<statistics::Rate> survival_rate(double survival, double good, double seen);

/// Days that a stage of this length in seconds takes: none when it fits a working shift.
double whole_days(double seconds, double shift_seconds);

/// The last day of a stage of `length` days, counted from 0; a stage that is over on the day it
/// starts has that day all the same.
inline int last_offset(int length) {
  return std::max(0, length - 1);
}

/// The days of a stage of `length` days on which timed work falls due, counted from 0 for its first
/// day. Days that the stage does not reach are left out.
std::vector<int> due_days(const language::Timing& timing, int length);

/// Where work stands in its protocol.
struct WorkPlace {
  std::int32_t stage = 0;
  std::uint32_t work = 0;
};

struct StageCells;

/// What programs refer to besides columns.
struct ProgramContext {
  const language::Protocol& protocol;
  const std::vector<WorkPlace>& works;
  const std::vector<StageCells>& stages;
  const calendar::WorkingDays& working;
  double shift_seconds;
};

/// Runs a program for rows `begin` to `end` and writes them to `out`. `column(id)` are the columns.
void run(std::span<const Instruction> program, const ProgramContext& context,
         const std::vector<std::vector<double>>& columns, std::size_t begin, std::size_t end,
         std::vector<double>& out);

}  // namespace budwood::sheet
