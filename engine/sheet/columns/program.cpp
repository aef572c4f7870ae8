#include "sheet/columns/program.hpp"

#include <algorithm>

#include "sheet/columns/kept_cold.hpp"
#include "sheet/columns/stage_climate.hpp"
#include "sheet/counts/assurances.hpp"
#include "sheet/dates/dates.hpp"
#include "units/units.hpp"

namespace budwood::sheet {

namespace {

double at(const Operand& operand, std::size_t row) {
  return operand.values[operand.same ? 0 : row];
}

/// Applies an operation with one argument. The result may take the place of an argument: each row
/// is read before it is written.
template <Operation op>
void apply_rows(const double* a, std::size_t rows, double* out) {
  for (std::size_t i = 0; i < rows; ++i) out[i] = apply<op>(a[i]);
}

template <Operation op>
void apply_rows(const Operand& a, const Operand& b, std::size_t rows, double* out) {
  if (a.same) {
    const double first = *a.values;
    for (std::size_t i = 0; i < rows; ++i) out[i] = apply<op>(first, b.values[i]);
  } else if (b.same) {
    const double second = *b.values;
    for (std::size_t i = 0; i < rows; ++i) out[i] = apply<op>(a.values[i], second);
  } else {
    for (std::size_t i = 0; i < rows; ++i) out[i] = apply<op>(a.values[i], b.values[i]);
  }
}

template <Operation op>
void apply_rows(const Operand& a, const Operand& b, const Operand& c, std::size_t rows,
                double* out) {
  for (std::size_t i = 0; i < rows; ++i) out[i] = apply<op>(at(a, i), at(b, i), at(c, i));
}

void apply_operation(Operation op, Stack& stack, std::size_t rows) {
  const std::size_t count = language::facts_of(op).arguments;
  const Operand c = count > 2 ? stack.pop() : Operand{nullptr, true};
  const Operand b = count > 1 ? stack.pop() : Operand{nullptr, true};
  const Operand a = stack.pop();
  const bool same = a.same && b.same && c.same;
  const std::size_t values = same ? 1 : rows;
  double* out = stack.push_block(same);
  with_operation(op, [&]<Operation fixed>() {
    if (count == 1) {
      apply_rows<fixed>(a.values, values, out);
    } else if (count == 2) {
      apply_rows<fixed>(a, b, values, out);
    } else {
      apply_rows<fixed>(a, b, c, values, out);
    }
  });
}

template <typename Function>
void map_rows(Stack& stack, std::size_t rows, const Function& function) {
  const Operand in = stack.pop();
  double* out = stack.push_block(in.same);
  for (std::size_t i = 0; i < (in.same ? 1 : rows); ++i) out[i] = function(in.values[i]);
}

void count_turns(const WorkPlace& place, const ProgramContext& context, std::size_t rows,
                 Stack& stack) {
  const language::Stage& stage = context.protocol.stages[place.stage];
  const language::Work& work = stage.works[place.work];
  const Operand length = stack.pop();
  const Operand start = stack.pop();
  double* out = stack.push_block();
  for (std::size_t i = 0; i < rows; ++i) {
    if (std::isnan(at(start, i)) || std::isnan(at(length, i))) {
      out[i] = no_value;
      continue;
    }
    const auto first = static_cast<Day>(at(start, i));
    const auto days = static_cast<int>(at(length, i));
    const StageReach reach = reach_of(first, days);
    int done = 0;
    for_each_due_day(work.timing, days, [&](int due) {
      if (work_day(work, first + due, reach, context.working)) ++done;
    });
    out[i] = done;
  }
}

/// One stage of a chain: what comes through, and the count that it rests on.
struct Loss {
  Operand survival, good, seen, batches, likeness;

  std::optional<statistics::Rate> rate(std::size_t row) const {
    return survival_rate(at(survival, row),
                         {at(good, row), at(seen, row), at(batches, row), at(likeness, row)});
  }
};

std::optional<statistics::Rate> rate_of(const std::vector<Loss>& losses, std::size_t row) {
  auto rate = statistics::Rate::known(1);
  for (const Loss& loss : losses) {
    const auto one = loss.rate(row);
    if (!one) return std::nullopt;
    rate = *rate * *one;
  }
  return rate;
}

double start_of(double needed, double sure, const std::vector<Loss>& losses, std::size_t row) {
  if (std::isnan(needed) || std::isnan(sure)) return no_value;
  if (sure <= 0) {
    double survival = 1;
    for (const Loss& loss : losses) survival *= at(loss.survival, row);
    return round_up(needed / survival);
  }
  constexpr double countable = 1e15;  // beyond it doubles are no whole numbers any more
  const auto rate = rate_of(losses, row);
  if (!rate || !(needed <= countable)) return no_value;
  const auto least =
      statistics::smallest_start(static_cast<std::int64_t>(round_up(needed)), *rate, sure);
  return least ? static_cast<double>(*least) : no_value;
}

void count_start(const Instruction& instruction, std::size_t rows, Stack& stack) {
  const Operand sure = stack.pop();
  std::vector<Loss> losses(instruction.index);
  for (Loss& loss : losses) {
    loss.likeness = stack.pop();
    loss.batches = stack.pop();
    loss.seen = stack.pop();
    loss.good = stack.pop();
    loss.survival = stack.pop();
  }
  const Operand needed = stack.pop();
  double* out = stack.push_block();
  for (std::size_t i = 0; i < rows; ++i) {
    out[i] = start_of(at(needed, i), at(sure, i), losses, i);
  }
}

void read_climate(const language::Reading& reading, const ProgramContext& context,
                  const Columns& columns, std::size_t begin, std::size_t rows, Stack& stack) {
  double* out = stack.push_block();
  for (std::size_t i = 0; i < rows; ++i) {
    out[i] = StageClimate(context.protocol, context.stages, columns, begin + i, reading.stage)
                 .answer(reading);
  }
}

void count_cold(language::StageId stage, const ProgramContext& context, const Columns& columns,
                std::size_t begin, std::size_t rows, Stack& stack) {
  const Operand target = stack.pop();
  const Operand upper = stack.pop();
  const Operand best = stack.pop();
  const Operand lower = stack.pop();
  double* out = stack.push_block();
  for (std::size_t i = 0; i < rows; ++i) {
    out[i] = days_of_cold(context, columns, begin + i, stage,
                          {at(lower, i), at(best, i), at(upper, i), at(target, i)});
  }
}

void step(const Instruction& instruction, const ProgramContext& context, const Columns& columns,
          std::size_t begin, std::size_t rows, Stack& stack) {
  using Code = Instruction::Code;
  switch (instruction.code) {
    case Code::constant:
      stack.push({&instruction.value, true});
      break;
    case Code::cell:
      stack.push(columns.from(instruction.index, begin));
      break;
    case Code::operation:
      apply_operation(instruction.operation, stack, rows);
      break;
    case Code::look_up:
      map_rows(stack, rows,
               [&](double at) { return look_up(context.protocol.tables[instruction.index], at); });
      break;
    case Code::whole_days:
      map_rows(stack, rows, [&](double s) { return whole_days(s, context.shift_seconds); });
      break;
    case Code::floor_days:
      map_rows(stack, rows, [](double s) { return round_down(s / units::seconds_a_day); });
      break;
    case Code::start:
      count_start(instruction, rows, stack);
      break;
    case Code::assurance:
      break;  // keeps what it has found: see Evaluator::assure
    case Code::reading:
      read_climate(context.protocol.readings[instruction.index], context, columns, begin, rows,
                   stack);
      break;
    case Code::chilling:
      count_cold(language::StageId(static_cast<std::int32_t>(instruction.index)), context, columns,
                 begin, rows, stack);
      break;
    case Code::turns:
      count_turns(context.works[instruction.index], context, rows, stack);
      break;
  }
}

}  // namespace

std::optional<statistics::Rate> survival_rate(double survival, const CountBehind& count) {
  if (count.likeness > 0) {
    return statistics::Rate::scattered(survival, count.likeness, count.seen, count.batches);
  }
  if (count.seen > 0) {
    return statistics::Rate::counted(static_cast<std::int64_t>(count.good),
                                     static_cast<std::int64_t>(count.seen));
  }
  return statistics::Rate::known(survival);
}

bool looks_at_cells_alone(std::span<const Instruction> program) {
  return std::none_of(program.begin(), program.end(), [](const Instruction& step) {
    using Code = Instruction::Code;
    return step.code == Code::reading || step.code == Code::chilling || step.code == Code::turns;
  });
}

double look_up(const language::Table& table, double at) {
  const double tolerance = slack(table.at.back(), table.at.front());
  if (!(at >= table.at.front() - tolerance && at <= table.at.back() + tolerance)) return no_value;
  const auto after = std::upper_bound(table.at.begin() + 1, table.at.end() - 1, at);
  const auto i = static_cast<std::size_t>(after - table.at.begin());
  const double share = (at - table.at[i - 1]) / (table.at[i] - table.at[i - 1]);
  return table.values[i - 1] +
         std::clamp(share, 0.0, 1.0) * (table.values[i] - table.values[i - 1]);
}

double whole_days(double seconds, double shift_seconds) {
  if (std::isnan(seconds)) return no_value;
  if (seconds < shift_seconds - slack(seconds, shift_seconds)) return 0;
  return round_up(seconds / units::seconds_a_day);
}

std::vector<int> due_days(const language::Timing& timing, int length) {
  std::vector<int> out;
  for_each_due_day(timing, length, [&](int day) { out.push_back(day); });
  return out;
}

std::vector<int> stated_days(const language::Timing& timing, int last) {
  std::vector<int> out;
  for (const language::StageDay& day : timing.days) {
    const int due = offset_of(day, last);
    if (due <= last) out.push_back(due);
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

double* Stack::push_block(bool same) {
  const std::size_t depth = operands_.size();
  if (blocks_.size() <= depth) blocks_.resize(depth + 1);
  if (!blocks_[depth]) blocks_[depth] = std::make_unique<Block>();
  operands_.push_back({blocks_[depth]->data(), same});
  return blocks_[depth]->data();
}

Operand Evaluator::run_block(std::span<const Instruction> program, const ProgramContext& context,
                             const Columns& columns, std::size_t begin, std::size_t rows) {
  stack_.clear();
  for (const Instruction& instruction : program) {
    if (instruction.code == Instruction::Code::assurance) {
      assure(instruction, context, rows);
    } else {
      step(instruction, context, columns, begin, rows, stack_);
    }
  }
  return stack_.pop();
}

void Evaluator::assure(const Instruction& instruction, const ProgramContext& context,
                       std::size_t rows) {
  constexpr std::size_t most_kept = 20'000;
  std::vector<Operand> operands(instruction.index);
  for (std::size_t i = operands.size(); i-- > 0;) operands[i] = stack_.pop();
  std::vector<double> given(operands.size());
  double* out = stack_.push_block();
  for (std::size_t row = 0; row < rows; ++row) {
    for (std::size_t i = 0; i < given.size(); ++i) given[i] = at(operands[i], row);
    if (std::any_of(given.begin(), given.end(), [](double v) { return std::isnan(v); })) {
      out[row] = no_value;
      continue;
    }
    auto found = searches_.find(given);
    if (found == searches_.end()) {
      if (searches_.size() == most_kept) searches_.clear();
      found = searches_.emplace(given, assurances(context, given)).first;
    }
    out[row] = found->second[static_cast<std::size_t>(instruction.value)];
  }
}

void Evaluator::run(std::span<const Instruction> program, const ProgramContext& context,
                    const Columns& columns, std::size_t begin, std::size_t end, double* out) {
  for (std::size_t row = begin; row < end; row += block_size) {
    const std::size_t rows = std::min(block_size, end - row);
    const Operand result = run_block(program, context, columns, row, rows);
    if (result.same) {
      std::fill(out + row, out + row + rows, *result.values);
    } else {
      std::copy(result.values, result.values + rows, out + row);
    }
  }
}

double Evaluator::run(std::span<const Instruction> program, const ProgramContext& context,
                      const Columns& columns, std::size_t row) {
  return *run_block(program, context, columns, row, 1).values;
}

}  // namespace budwood::sheet
