/// Entries of the record as facts of a batch. Private to this module.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "book/batches/batch.hpp"
#include "record/entry.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// An entry and the place of its line.
struct Noted {
  const record::Entry* entry = nullptr;
  text::Span span;
};

/// Makes facts of the entries of one batch, given in the order noted. Of two that say the same
/// thing differently the later one holds, and it is told once.
class FactMaker {
 public:
  FactMaker(Batch& batch, text::Diagnostics& diagnostics)
      : batch_(batch), diagnostics_(diagnostics), told_in_book_(!batch.done.empty()) {}

  void take(const Noted& line);
  /// Once all are taken.
  void finish();

 private:
  void date(const Noted& line);
  void done(const Noted& line);
  void left_out(const Noted& line);
  void stopped(const Noted& line);
  void plants(const Noted& line);
  void grade(const Noted& line);
  void count(const std::string& stage, std::vector<Noted>& lines);
  void uncounted(const std::string& stage, double lost, const text::Span& span);
  void differs(const text::Span& before, const Noted& now);

  Batch& batch_;
  text::Diagnostics& diagnostics_;
  bool told_in_book_;                                   ///< batches.yaml itself says what was done
  std::unordered_map<std::string_view, Noted> orders_;  ///< done or left out, by their places
  std::map<std::string, std::vector<Noted>> plants_;    ///< counted and lost, by stage; "": of none
  std::map<std::pair<std::string, std::string>, Noted> grades_;  ///< counted, by stage and grade
  Noted stopped_;
};

/// Whether an entry becomes a fact of the batches that it is about.
bool is_fact(const record::Entry& entry);

}  // namespace budwood::book
