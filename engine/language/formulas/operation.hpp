#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace budwood::language {

/// What formulas can do to values. Truth is 1 or 0; NaN stands for "no value" and travels, but
/// `both` and `either` are decided by one side where that is enough.
enum class Operation : std::uint8_t {
#define BUDWOOD_OPERATION(name, arguments, word, written) name,
#include "language/formulas/operations.def"
#undef BUDWOOD_OPERATION
};

struct OperationFacts {
  Operation operation;
  std::size_t arguments;
  std::string_view word;     ///< in the canonical form; "" for functions, which are calls by name
  std::string_view written;  ///< its sign or function; "" where it has none

  constexpr bool is_function() const { return word.empty() && !written.empty(); }
};

inline constexpr std::array operations{
#define BUDWOOD_OPERATION(name, arguments, word, written) \
  OperationFacts{Operation::name, arguments, word, written},
#include "language/formulas/operations.def"
#undef BUDWOOD_OPERATION
};

constexpr const OperationFacts& facts_of(Operation operation) {
  return operations[static_cast<std::size_t>(operation)];
}

/// The operation that is written like this; nothing when none is.
constexpr std::optional<Operation> find_operation(std::string_view written) {
  for (const OperationFacts& one : operations) {
    if (!written.empty() && one.written == written) return one.operation;
  }
  return std::nullopt;
}

/// Whether it holds two values against each other: `<` and its like.
constexpr bool is_relation(Operation operation) {
  return operation >= Operation::less && operation <= Operation::unequal;
}

}  // namespace budwood::language
