/// Formulas as flat operations that run down a column. A NaN is "no value": it costs nothing
/// and travels with the arithmetic, so a cell needs no bit that says whether it is valid. Where
/// it came from is found afterwards, by looking for the first cell without a value although all
/// that it uses has one: explanations cost nothing while all goes well.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <memory>
#include <span>
#include <vector>

#include "calendar/calendar.hpp"
#include "sheet/columns/columns.hpp"
#include "sheet/columns/operations.hpp"
#include "statistics/statistics.hpp"

namespace budwood::sheet {

/// One step of a formula in postfix order.
struct Instruction {
  enum class Code : std::uint8_t {
    constant,    ///< pushes `value`
    cell,        ///< pushes the column `index`
    operation,   ///< pops its arguments, pushes the result
    look_up,     ///< pops a value, pushes the entry of tables[index]
    whole_days,  ///< pops a time, pushes days: 0 within a shift of `value` seconds, else rounded up
    floor_days,  ///< pops a time, pushes full days
    start,       ///< pops sureness, (likeness, batches, seen, good, survival) for each of `index`
                 ///< losses, and a need; pushes how many to start
    assurance,   ///< pops `index` values, pushes how sure chain `value` of those that lose is made
    reading,     ///< pushes what readings[index] asks of the climate of its stage
    chilling,    ///< pops the target, the upper, best and lower temperature of a gate, pushes the
                 ///< days until what stage `index` keeps has brought it; see kept_cold.hpp
    turns,       ///< pops a start and a length in days, pushes how often works[index] is done
  };
  Code code = Code::constant;
  Operation operation = Operation::add;
  std::uint32_t index = 0;
  double value = 0;
};

/// Whether a formula gives the same wherever the cells that it reads are the same.
bool looks_at_cells_alone(std::span<const Instruction> program);

/// Linear interpolation between the points of a table; no value outside them.
double look_up(const language::Table& table, double at);

/// What the share that comes through a stage rests on: see Evidence.
struct CountBehind {
  double good = 0, seen = 0, batches = 0, likeness = 0;
};
/// The share that comes through a stage: as it stands, or, when some were counted, what the count
/// has taught about it; where batches differ by more than luck, what it will be in one of them.
/// Nothing when there is no such share.
std::optional<statistics::Rate> survival_rate(double survival, const CountBehind& count);

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

inline int offset_of(const language::StageDay& day, int last) {
  return day.last ? last : day.day - 1;
}
/// The days that a work names one by one, up to the stage's last one; each once, in order.
std::vector<int> stated_days(const language::Timing& timing, int last);

/// Visits what `due_days` lists, without making a list where there is one day or a repeat.
template <typename Visitor>
void for_each_due_day(const language::Timing& timing, int length, Visitor&& visit) {
  const int last = last_offset(length);
  switch (timing.kind) {
    case language::Timing::Kind::start:
      visit(0);
      break;
    case language::Timing::Kind::days:
      if (timing.days.size() == 1) {
        const int due = offset_of(timing.days.front(), last);
        if (due <= last || timing.comes) visit(std::min(due, last));
      } else {
        for (const int due : stated_days(timing, last)) visit(due);
      }
      break;
    case language::Timing::Kind::repeat:
      for (int day = offset_of(timing.from, last);
           day <= std::min(last, offset_of(timing.to, last)); day += timing.interval) {
        visit(day);
      }
      break;
  }
}

/// Where work stands in its protocol.
struct WorkPlace {
  language::StageId stage;
  language::WorkId work;
};

struct StageCells;
struct Template;
using StageCellsList = language::List<StageCells, language::Stage>;

/// What programs refer to besides columns.
struct ProgramContext {
  const language::Protocol& protocol;
  const std::vector<WorkPlace>& works;
  const StageCellsList& stages;
  const calendar::WorkingDays& working;
  double shift_seconds;
  const Template* layout = nullptr;  ///< for `assurance`
};

/// Rows that are worked on together: small enough for the first-level cache, large enough that the
/// cost of choosing the operation vanishes.
inline constexpr std::size_t block_size = 256;

/// The operands of a program: each is a run of rows, in a column or in a block of its own.
class Stack {
 public:
  void push(const Operand& operand) { operands_.push_back(operand); }
  /// Room for a result; `same` when one value stands for all rows.
  double* push_block(bool same = false);
  Operand pop() {
    const Operand top = operands_.back();
    operands_.pop_back();
    return top;
  }
  void clear() { operands_.clear(); }

 private:
  using Block = std::array<double, block_size>;
  std::vector<Operand> operands_;
  std::vector<std::unique_ptr<Block>> blocks_;
};

/// Runs programs. Keeps its working memory between runs.
class Evaluator {
 public:
  /// For rows `begin` to `end`; the value of row r goes to out[r].
  void run(std::span<const Instruction> program, const ProgramContext& context,
           const Columns& columns, std::size_t begin, std::size_t end, double* out);
  /// For one row.
  double run(std::span<const Instruction> program, const ProgramContext& context,
             const Columns& columns, std::size_t row);

 private:
  Operand run_block(std::span<const Instruction> program, const ProgramContext& context,
                    const Columns& columns, std::size_t begin, std::size_t rows);

  /// What assurances of a template rest on, and what they come to: batches alike have one search.
  using Searches = std::map<std::vector<double>, std::vector<double>>;
  void assure(const Instruction& instruction, const ProgramContext& context, std::size_t rows);

  Stack stack_;
  Searches searches_;
};

}  // namespace budwood::sheet
