#include "sheet/program.hpp"

#include <array>
#include <memory>

#include "sheet/dates.hpp"
#include "sheet/stage_climate.hpp"

namespace budwood::sheet {

namespace {

/// Rows that are worked on together: small enough for the first-level cache, large enough that the
/// cost of choosing the operation vanishes.
constexpr std::size_t block_size = 256;
using Block = std::array<double, block_size>;

constexpr double seconds_a_day = 86400;

std::size_t arity(Operation op) {
  switch (op) {
    case Operation::choose:
      return 3;
    case Operation::negate:
    case Operation::invert:
    case Operation::if_known:
    case Operation::round:
    case Operation::ceil:
    case Operation::floor:
    case Operation::absolute:
    case Operation::square_root:
    case Operation::exponential:
    case Operation::logarithm:
      return 1;
    default:
      return 2;
  }
}

/// The operands of a program: each is a run of doubles, in a column or in a block of its own.
class Stack {
 public:
  void push_column(const double* values) { values_.push_back(values); }

  double* push_block() {
    const std::size_t depth = values_.size();
    if (blocks_.size() <= depth) blocks_.resize(depth + 1);
    if (!blocks_[depth]) blocks_[depth] = std::make_unique<Block>();
    values_.push_back(blocks_[depth]->data());
    return blocks_[depth]->data();
  }

  const double* pop() {
    const double* top = values_.back();
    values_.pop_back();
    return top;
  }

  void clear() { values_.clear(); }

 private:
  std::vector<const double*> values_;
  std::vector<std::unique_ptr<Block>> blocks_;
};

/// Applies an operation to rows. The result may take the place of the first argument: each row is
/// read before it is written.
void apply_rows(Operation op, Stack& stack, std::size_t rows) {
  const std::size_t count = arity(op);
  const double* c = count > 2 ? stack.pop() : nullptr;
  const double* b = count > 1 ? stack.pop() : nullptr;
  const double* a = stack.pop();
  double* out = stack.push_block();
  with_operation(op, [&]<Operation fixed>() {
    if (count == 1) {
      for (std::size_t i = 0; i < rows; ++i) out[i] = apply<fixed>(a[i]);
    } else if (count == 2) {
      for (std::size_t i = 0; i < rows; ++i) out[i] = apply<fixed>(a[i], b[i]);
    } else {
      for (std::size_t i = 0; i < rows; ++i) out[i] = apply<fixed>(a[i], b[i], c[i]);
    }
  });
}

template <typename Function>
void map_rows(Stack& stack, std::size_t rows, const Function& function) {
  const double* in = stack.pop();
  double* out = stack.push_block();
  for (std::size_t i = 0; i < rows; ++i) out[i] = function(in[i]);
}

void count_turns(const WorkPlace& place, const ProgramContext& context, std::size_t rows,
                 Stack& stack) {
  const language::Stage& stage = context.protocol.stages[static_cast<std::size_t>(place.stage)];
  const language::Work& work = stage.works[place.work];
  const double* length = stack.pop();
  const double* start = stack.pop();
  double* out = stack.push_block();
  for (std::size_t i = 0; i < rows; ++i) {
    if (std::isnan(start[i]) || std::isnan(length[i])) {
      out[i] = no_value;
      continue;
    }
    const auto first = static_cast<Day>(start[i]);
    const auto days = static_cast<int>(length[i]);
    int done = 0;
    for (const int due : due_days(work.timing, days)) {
      if (work_day(work, first + due, first + last_offset(days), context.working)) ++done;
    }
    out[i] = done;
  }
}

/// One stage of a chain: what comes through, and the count that it rests on.
struct Loss {
  const double* survival;
  const double* good;
  const double* seen;
};

std::optional<statistics::Rate> rate_of(const std::vector<Loss>& losses, std::size_t row) {
  auto rate = statistics::Rate::known(1);
  for (const Loss& loss : losses) {
    const auto one = survival_rate(loss.survival[row], loss.good[row], loss.seen[row]);
    if (!one) return std::nullopt;
    rate = *rate * *one;
  }
  return rate;
}

double start_of(double needed, double sure, int chains, const std::vector<Loss>& losses,
                std::size_t row) {
  if (std::isnan(needed) || std::isnan(sure)) return no_value;
  if (sure <= 0) {
    double survival = 1;
    for (const Loss& loss : losses) survival *= loss.survival[row];
    return round_up(needed / survival);
  }
  const auto rate = rate_of(losses, row);
  if (!rate) return no_value;
  const auto least = statistics::smallest_start(static_cast<std::int64_t>(round_up(needed)), *rate,
                                                statistics::assurance_of_each(sure, chains));
  return least ? static_cast<double>(*least) : no_value;
}

void count_start(const Instruction& instruction, std::size_t rows, Stack& stack) {
  const double* sure = stack.pop();
  std::vector<Loss> losses(instruction.index);
  for (Loss& loss : losses) {
    loss.seen = stack.pop();
    loss.good = stack.pop();
    loss.survival = stack.pop();
  }
  const double* needed = stack.pop();
  double* out = stack.push_block();
  const int chains = std::max(1, static_cast<int>(instruction.value));
  for (std::size_t i = 0; i < rows; ++i) out[i] = start_of(needed[i], sure[i], chains, losses, i);
}

void read_climate(const language::Reading& reading, const ProgramContext& context,
                  const std::vector<std::vector<double>>& columns, std::size_t begin,
                  std::size_t rows, Stack& stack) {
  double* out = stack.push_block();
  for (std::size_t i = 0; i < rows; ++i) {
    out[i] =
        StageClimate(context.protocol, context.stages, columns, begin + i, reading.stage)
            .answer(reading);
  }
}

void step(const Instruction& instruction, const ProgramContext& context,
          const std::vector<std::vector<double>>& columns, std::size_t begin, std::size_t rows,
          Stack& stack) {
  using Code = Instruction::Code;
  switch (instruction.code) {
    case Code::constant: {
      double* out = stack.push_block();
      std::fill(out, out + rows, instruction.value);
      break;
    }
    case Code::cell:
      stack.push_column(columns[instruction.index].data() + begin);
      break;
    case Code::operation:
      apply_rows(instruction.operation, stack, rows);
      break;
    case Code::look_up:
      map_rows(stack, rows,
               [&](double at) { return look_up(context.protocol.tables[instruction.index], at); });
      break;
    case Code::whole_days:
      map_rows(stack, rows, [&](double s) { return whole_days(s, context.shift_seconds); });
      break;
    case Code::floor_days:
      map_rows(stack, rows, [](double s) { return round_down(s / seconds_a_day); });
      break;
    case Code::start:
      count_start(instruction, rows, stack);
      break;
    case Code::reading:
      read_climate(context.protocol.readings[instruction.index], context, columns, begin, rows,
                   stack);
      break;
    case Code::turns:
      count_turns(context.works[instruction.index], context, rows, stack);
      break;
  }
}

}  // namespace

std::optional<statistics::Rate> survival_rate(double survival, double good, double seen) {
  if (seen > 0) {
    return statistics::Rate::counted(static_cast<std::int64_t>(good),
                                     static_cast<std::int64_t>(seen));
  }
  return statistics::Rate::known(survival);
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
  return round_up(seconds / seconds_a_day);
}

std::vector<int> due_days(const language::Timing& timing, int length) {
  const int last = last_offset(length);
  const auto offset = [&](const language::StageDay& day) { return day.last ? last : day.day - 1; };
  std::vector<int> out;
  switch (timing.kind) {
    case language::Timing::Kind::start:
      out.push_back(0);
      break;
    case language::Timing::Kind::days:
      for (const language::StageDay& day : timing.days) {
        if (offset(day) <= last) out.push_back(offset(day));
      }
      std::sort(out.begin(), out.end());
      out.erase(std::unique(out.begin(), out.end()), out.end());
      break;
    case language::Timing::Kind::repeat:
      for (int day = offset(timing.from); day <= std::min(last, offset(timing.to));
           day += timing.interval) {
        out.push_back(day);
      }
      break;
  }
  return out;
}

void run(std::span<const Instruction> program, const ProgramContext& context,
         const std::vector<std::vector<double>>& columns, std::size_t begin, std::size_t end,
         std::vector<double>& out) {
  Stack stack;
  for (std::size_t row = begin; row < end; row += block_size) {
    const std::size_t rows = std::min(block_size, end - row);
    stack.clear();
    for (const Instruction& instruction : program) {
      step(instruction, context, columns, row, rows, stack);
    }
    const double* result = stack.pop();
    std::copy(result, result + rows, out.begin() + static_cast<std::ptrdiff_t>(row));
  }
}

}  // namespace budwood::sheet
