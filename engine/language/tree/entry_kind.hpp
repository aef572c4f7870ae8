#pragma once

#include <cstdint>

namespace budwood::language::syntax {

/// What an entry of the record says.
enum class EntryKind : std::uint8_t {
  done,
  left_out,
  seen,
  not_seen,
  counted,
  lost,
  started,
  ended,
  stock,
  came_in,
  thrown_out,
  stopped,
  note,
  lesson,
  withdrawal,  ///< of an earlier entry
};

}  // namespace budwood::language::syntax
