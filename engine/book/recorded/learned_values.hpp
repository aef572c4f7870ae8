/// What the record taught, as a book keeps it: `learned.yaml`, written by `budwood learn --keep`.
///
/// A layer of its own: a batch's own value comes first, then the site's, then what was learned,
/// then the usual value of the protocol. It is data beside what people wrote, with the count behind
/// each value so that a person can check it; without the file everything is as before. A value
/// speaks of one edition and of the usual value that it was held against: when either is another
/// now, the method is no longer the one that was counted, and the value is passed over.
#pragma once

#include <string>
#include <vector>

#include "book/yaml/written.hpp"
#include "calendar/calendar.hpp"

namespace budwood::book {

/// One learned value.
struct LearnedValue {
  Placed<std::string> protocol;  ///< or its variant: "bench_graft.splice"
  int edition = 1;
  std::string input;
  Written value;          ///< with the count behind a share, its batches and their spread
  Written usual;          ///< of the protocol, when it was learned
  std::string limits;     ///< 95 % limits of the value, as a person reads them
  std::string behind;     ///< what it rests on: "412 of 520 in 6 batches", "12 jobs"
  calendar::Day day = 0;  ///< the last day of the record that it was learned from
  text::Span span;
};

/// The file of a book that keeps them.
inline constexpr const char* learned_file = "learned.yaml";

/// The text of that file. Numbers are written as `value.text` and `usual.text` have them.
std::string learned_yaml(const std::vector<LearnedValue>& values);

}  // namespace budwood::book
