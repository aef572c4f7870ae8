#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "sheet/operations.hpp"

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
    occurrences,  ///< pops a length in days, pushes how often timings[index] falls in it
  };
  Code code = Code::constant;
  Operation operation = Operation::add;
  std::uint32_t index = 0;
  double value = 0;
};

/// Linear interpolation between the points of a table; no value outside them.
double look_up(const language::Table& table, double at);

/// Days that a stage of this length in seconds takes: none when it fits a working shift.
double whole_days(double seconds, double shift_seconds);

/// The days of a stage of `length` days on which timed work falls due, counted from 0 for its first
/// day. Days that the stage does not reach are left out.
std::vector<int> due_days(const language::Timing& timing, int length);

/// What programs refer to besides columns.
struct ProgramContext {
  const std::vector<language::Table>& tables;
  const std::vector<language::Timing>& timings;
  double shift_seconds;
};

/// Runs a program for rows `begin` to `end` and writes them to `out`. `column(id)` are the columns.
void run(std::span<const Instruction> program, const ProgramContext& context,
         const std::vector<std::vector<double>>& columns, std::size_t begin, std::size_t end,
         std::vector<double>& out);

}  // namespace budwood::sheet
