#pragma once

#include <optional>
#include <vector>

#include "language/tree/entry_kind.hpp"
#include "language/tree/formula_syntax.hpp"

/// An entry of the record as it is written, name by name; what it means is told by module `record`.
namespace budwood::language::syntax {

/// A number as it is written: `140 L`, `61 of 80`, `291 plants`.
struct EntryNumber {
  double value = 0;
  std::optional<double> of;
  UnitText unit;  ///< "" when none was written
  Span span;
};

/// "used 30 m tape".
struct EntryUse {
  EntryNumber amount;
  Text supply;
};

struct EntryLine {
  using Kind = EntryKind;
  Kind kind = Kind::note;
  Span kind_span;             ///< of the words that say so
  std::optional<Text> entry;  ///< the entry that is corrected or withdrawn
  Text place;                 ///< "BM27-1/grafting/2/1"; "" for stock and what is withdrawn
  Text name;                  ///< the observation or the supply
  std::optional<EntryNumber> number;
  std::optional<Text> day;  ///< a day that there is, or "today"
  std::optional<Text> by;
  std::optional<EntryNumber> time;  ///< seconds
  std::vector<EntryUse> used;
  std::optional<Text> tray;
  std::optional<Text> grade;
  std::optional<Text> words;
  Span span;
};

}  // namespace budwood::language::syntax
