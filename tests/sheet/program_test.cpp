#include "sheet/columns/program.hpp"

#include <random>

#include "sample.hpp"
#include "sheet/template/template.hpp"
#include "units/units.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

using Values = std::vector<std::vector<double>>;

const language::Protocol no_protocol;
const std::vector<WorkPlace> no_works;
const StageCellsList no_stages;
const calendar::WorkingDays every_day;
const ProgramContext plain{no_protocol, no_works, no_stages, every_day, 8 * 3600.0};

Instruction cell(std::uint32_t index) {
  Instruction step;
  step.code = Instruction::Code::cell;
  step.index = index;
  return step;
}

Instruction constant(double value) {
  Instruction step;
  step.value = value;
  return step;
}

Instruction operation(Operation op) {
  Instruction step;
  step.code = Instruction::Code::operation;
  step.operation = op;
  return step;
}

Instruction code(Instruction::Code which, std::uint32_t index = 0) {
  Instruction step;
  step.code = which;
  step.index = index;
  return step;
}

Columns columns_of(const Values& values) {
  Columns columns(values.size());
  columns.resize(values.front().size());
  for (CellId id = 0; id < values.size(); ++id) {
    for (std::size_t row = 0; row < values[id].size(); ++row) columns.set(id, row, values[id][row]);
  }
  return columns;
}

std::vector<double> result_of(const std::vector<Instruction>& program, const Values& values,
                              const ProgramContext& context = plain) {
  std::vector<double> out(values.front().size(), -1);
  Evaluator().run(program, context, columns_of(values), 0, out.size(), out.data());
  return out;
}

constexpr Operation all_operations[] = {Operation::add,         Operation::subtract,
                                        Operation::multiply,    Operation::divide,
                                        Operation::power,       Operation::negate,
                                        Operation::less,        Operation::less_equal,
                                        Operation::greater,     Operation::greater_equal,
                                        Operation::equal,       Operation::unequal,
                                        Operation::both,        Operation::either,
                                        Operation::invert,      Operation::choose,
                                        Operation::minimum,     Operation::maximum,
                                        Operation::round,       Operation::ceil,
                                        Operation::floor,       Operation::absolute,
                                        Operation::square_root, Operation::exponential,
                                        Operation::logarithm,   Operation::vapour_pressure_deficit,
                                        Operation::light_sum};

std::size_t arguments_of(Operation op) {
  switch (op) {
    case Operation::choose:
      return 3;
    case Operation::negate:
    case Operation::invert:
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

/// Odd values first, then random ones: more rows than two blocks hold.
std::vector<double> odd_column(std::uint32_t seed) {
  constexpr double largest = std::numeric_limits<double>::max();
  const double odd[] = {0, -0.0, 1, -1, 0.5, 2.5, no_value, largest, -largest, 1e-300, 293.15};
  std::mt19937 engine(seed);
  std::vector<double> column;
  for (int i = 0; i < 700; ++i) {
    const auto draw = static_cast<double>(engine());
    column.push_back(i % 3 == 0 ? odd[engine() % std::size(odd)] : draw / 1e7 - 200);
  }
  return column;
}

}  // namespace

TEST_CASE("every operation on a column gives what it gives row by row") {
  const Values columns{odd_column(1), odd_column(2), odd_column(3)};
  for (const Operation op : all_operations) {
    INFO(static_cast<int>(op));
    std::vector<Instruction> program;
    for (std::uint32_t i = 0; i < arguments_of(op); ++i) program.push_back(cell(i));
    program.push_back(operation(op));
    const std::vector<double> got = result_of(program, columns);
    std::size_t wrong = 0;
    for (std::size_t row = 0; row < got.size(); ++row) {
      const double want = with_operation(op, [&]<Operation fixed>() {
        if (arguments_of(op) == 1) return apply<fixed>(columns[0][row]);
        return apply<fixed>(columns[0][row], columns[1][row], columns[2][row]);
      });
      if (!same(got[row], want)) ++wrong;
    }
    CHECK(wrong == 0);
  }
}

TEST_CASE("the operations do what they say") {
  const auto one = [](Operation op, double a, double b = 0, double c = 0) {
    return with_operation(op, [&]<Operation fixed>() { return apply<fixed>(a, b, c); });
  };
  CHECK(one(Operation::add, 2, 3) == 5);
  CHECK(one(Operation::subtract, 2, 3) == -1);
  CHECK(one(Operation::multiply, 2, 3) == 6);
  CHECK(one(Operation::divide, 3, 2) == 1.5);
  CHECK(one(Operation::power, 2, 10) == 1024);
  CHECK(one(Operation::negate, 2) == -2);
  CHECK(one(Operation::less, 2, 3) == 1);
  CHECK(one(Operation::less, 3, 3) == 0);
  CHECK(one(Operation::less_equal, 3, 3) == 1);
  CHECK(one(Operation::greater, 3, 2) == 1);
  CHECK(one(Operation::greater, 3, 3) == 0);
  CHECK(one(Operation::greater_equal, 2, 3) == 0);
  CHECK(one(Operation::equal, 3, 3) == 1);
  CHECK(one(Operation::unequal, 3, 3) == 0);
  CHECK(one(Operation::both, 1, 0) == 0);
  CHECK(one(Operation::either, 1, 0) == 1);
  CHECK(one(Operation::invert, 0) == 1);
  CHECK(one(Operation::choose, 1, 7, 8) == 7);
  CHECK(one(Operation::choose, 0, 7, 8) == 8);
  CHECK(one(Operation::minimum, 2, 3) == 2);
  CHECK(one(Operation::maximum, 2, 3) == 3);
  CHECK(one(Operation::round, 2.5) == 3);
  CHECK(one(Operation::round, 2.4) == 2);
  CHECK(one(Operation::ceil, 2.1) == 3);
  CHECK(one(Operation::floor, 2.9) == 2);
  CHECK(one(Operation::absolute, -2) == 2);
  CHECK(one(Operation::square_root, 9) == 3);
  CHECK(one(Operation::exponential, 0) == 1);
  CHECK(one(Operation::logarithm, 1) == 0);
  // Saturated air has no deficit, whatever formula gives the saturation pressure.
  CHECK(one(Operation::vapour_pressure_deficit, 298.15, 1) == doctest::Approx(0));
  // 200 umol/m2/s for 14 h make 200e-6 x 14 x 3600 = 10.08 mol/m2, here for each second of a day.
  CHECK(one(Operation::light_sum, 200e-6, 14 * 3600) * units::seconds_a_day ==
        doctest::Approx(10.08));
}

TEST_CASE("what has no finite result has no value, and no value travels") {
  const auto one = [](Operation op, double a, double b = 0, double c = 0) {
    return with_operation(op, [&]<Operation fixed>() { return apply<fixed>(a, b, c); });
  };
  CHECK(std::isnan(one(Operation::divide, 1, 0)));
  CHECK(std::isnan(one(Operation::divide, 0, 0)));
  CHECK(std::isnan(one(Operation::power, 0, -1)));
  CHECK(std::isnan(one(Operation::logarithm, 0)));
  CHECK(std::isnan(one(Operation::square_root, -1)));
  CHECK(std::isnan(one(Operation::exponential, 1000)));
  for (const Operation op : all_operations) {
    INFO(static_cast<int>(op));
    if (op == Operation::both || op == Operation::either || op == Operation::if_known) continue;
    CHECK(std::isnan(one(op, no_value, 1, 1)));
    if (arguments_of(op) == 2) CHECK(std::isnan(one(op, 1, no_value)));
  }
  // One side is enough to decide.
  CHECK(one(Operation::both, 0, no_value) == 0);
  CHECK(one(Operation::both, no_value, 0) == 0);
  CHECK(std::isnan(one(Operation::both, 1, no_value)));
  CHECK(one(Operation::either, 1, no_value) == 1);
  CHECK(one(Operation::either, no_value, 1) == 1);
  CHECK(std::isnan(one(Operation::either, no_value, 0)));
  CHECK(one(Operation::if_known, no_value) == 0);
  CHECK(one(Operation::if_known, 1) == 1);
  // Only the branch that is taken counts: `if n > 0 then plants / n else 0`.
  CHECK(one(Operation::choose, 0, no_value, 8) == 8);
  CHECK(std::isnan(one(Operation::choose, 1, no_value, 8)));
}

TEST_CASE("decimal fractions do not spoil limits and whole numbers") {
  const auto one = [](Operation op, double a, double b = 0) {
    return with_operation(op, [&]<Operation fixed>() { return apply<fixed>(a, b); });
  };
  const double tenths = 0.1 + 0.1 + 0.1;  // 0.30000000000000004
  CHECK(tenths != 0.3);
  CHECK(one(Operation::equal, tenths, 0.3) == 1);
  CHECK(one(Operation::less_equal, tenths, 0.3) == 1);
  CHECK(one(Operation::greater, tenths, 0.3) == 0);
  CHECK(one(Operation::ceil, 85 / 0.85) == 100);      // 100.00000000000001 in binary
  CHECK(one(Operation::floor, (1 - 0.9) * 10) == 1);  // 0.9999999999999998
}

TEST_CASE("programs with constants and depth work on every row of every block") {
  std::vector<double> ones;
  for (int i = 0; i < 1000; ++i) ones.push_back(i);
  // ((x + 1) * 2 - x) / (x + 2) = 1, and x comes back after each operation as a fresh column.
  const std::vector<Instruction> program{cell(0),
                                         constant(1),
                                         operation(Operation::add),
                                         constant(2),
                                         operation(Operation::multiply),
                                         cell(0),
                                         operation(Operation::subtract),
                                         cell(0),
                                         constant(2),
                                         operation(Operation::add),
                                         operation(Operation::divide)};
  const std::vector<double> got = result_of(program, {ones});
  CHECK(std::count(got.begin(), got.end(), 1.0) == 1000);
}

TEST_CASE("a run writes no rows but its own") {
  const Values columns{std::vector<double>(600, 3.0)};
  std::vector<double> out(600, -1);
  Evaluator().run(std::vector{cell(0)}, plain, columns_of(columns), 255, 513, out.data());
  for (std::size_t row = 0; row < out.size(); ++row) {
    CHECK_MESSAGE(out[row] == (row >= 255 && row < 513 ? 3.0 : -1.0), row);
  }
}

TEST_CASE("a table has no value outside its points, and rounding does not leave it") {
  language::Table table;
  table.at = {289.15, 293.15, 297.15};  // 16, 20, 24 degC
  table.values = {20, 12, 10};
  CHECK(look_up(table, 289.15) == 20);
  CHECK(look_up(table, 291.15) == 16);
  CHECK(look_up(table, 293.15) == 12);
  CHECK(look_up(table, 296.15) == 10.5);
  CHECK(look_up(table, 297.15) == 10);
  CHECK(look_up(table, 289.15 - 1e-8) == 20);
  CHECK(look_up(table, 297.15 + 1e-8) == 10);
  CHECK(std::isnan(look_up(table, 289.1)));
  CHECK(std::isnan(look_up(table, 297.2)));
  CHECK(std::isnan(look_up(table, no_value)));
}

TEST_CASE("lengths under a shift fall on the same day, longer ones take whole days") {
  constexpr double hour = 3600;
  CHECK(whole_days(0, 8 * hour) == 0);
  CHECK(whole_days(6 * hour, 8 * hour) == 0);
  CHECK(whole_days(8 * hour, 8 * hour) == 1);
  CHECK(whole_days(0.8 * 10 * hour, 8 * hour) == 1);
  CHECK(whole_days(20 * hour, 8 * hour) == 1);
  CHECK(whole_days(24 * hour, 8 * hour) == 1);
  CHECK(whole_days(25 * hour, 8 * hour) == 2);
  CHECK(whole_days(3 * 0.1 * 10 * 24 * hour, 8 * hour) == 3);  // 3.0000000000000004 days
  CHECK(whole_days(24 * hour, 24 * hour) == 1);                // people work round the clock
  CHECK(std::isnan(whole_days(no_value, 8 * hour)));
}

TEST_CASE("waits count full days only") {
  constexpr double hour = 3600;
  const Values columns{{0, 23 * hour, 24 * hour, 36 * hour, 3 * units::seconds_a_day, no_value}};
  const std::vector<double> got =
      result_of({cell(0), code(Instruction::Code::floor_days)}, columns);
  CHECK(got[0] == 0);
  CHECK(got[1] == 0);
  CHECK(got[2] == 1);
  CHECK(got[3] == 1);
  CHECK(got[4] == 3);
  CHECK(std::isnan(got[5]));
}
