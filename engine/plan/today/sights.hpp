/// What was seen of batches, and what follows from it. Private to this module.
#pragma once

#include <string>
#include <unordered_map>
#include <vector>

#include "book/book.hpp"
#include "language/model.hpp"
#include "sheet/site/site.hpp"

namespace budwood::plan {

/// An `if` that came true.
struct SeenIf {
  language::StageId stage;
  std::uint32_t contingency = 0;  ///< in the stage
  calendar::Day day = 0;          ///< on which it was seen
};

/// A look at which what it is for was seen, whatever of it.
struct SeenLook {
  language::StageId stage;
  language::WorkId work;
  calendar::Day day = 0;
};

/// What was seen of a batch, as far as work follows from it.
struct SeenInBatch {
  std::vector<SeenIf> ifs;
  std::vector<SeenLook> looks;  ///< by stage, work and day; one a day
};

/// What the record of a book says was seen, looked through once. Values that hang on inputs are not
/// judged.
class Sights {
 public:
  explicit Sights(const book::Book& book);

  /// Adds the ends of stages whose gate was seen and whose end nobody noted: the first day on which
  /// all that the gate asks for was so, by what was last seen of each.
  void add_gates_seen(const book::Batch& batch, const language::Protocol& protocol,
                      sheet::BatchFacts& facts) const;

  /// Every `if` that was so on its day: by the last look at it up to that day, or by the first one
  /// after it. A look that was due on a day on which nobody works may come on the next working day.
  /// Before its day nothing is decided, nor where nobody knows when the stage began.
  std::vector<SeenIf> ifs_seen(const book::Batch& batch, const language::Protocol& protocol,
                               const sheet::BatchFacts& facts) const;

  /// The looks at which something was seen: whoever notes that has looked, and need not say so.
  std::vector<SeenLook> looks_done(const book::Batch& batch, const language::Protocol& protocol,
                                   const sheet::BatchFacts& facts) const;

 private:
  std::vector<const record::Entry*> of(const book::Batch& batch, const std::string& stage) const;
  /// One thing that was seen.
  struct Saw {
    calendar::Day day = 0;
    language::ObservationId what;
    double value = 0;  ///< base units; of what is only seen 1, or 0 when it was not
  };
  std::vector<Saw> saws_for(const std::vector<language::ObservationId>& observations,
                            const book::Batch& batch, const language::Protocol& protocol,
                            const sheet::BatchFacts& facts, language::StageId stage) const;
  std::vector<Saw> in_stage(const book::Batch& batch, const language::Protocol& protocol,
                            const sheet::BatchFacts& facts, language::StageId stage) const;

  const calendar::WorkingDays& working_;
  std::unordered_map<std::string, std::vector<const record::Entry*>> by_batch_;  ///< as noted
};

}  // namespace budwood::plan
