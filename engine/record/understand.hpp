/// What a line means: its batch, stage, order and names looked up, its units and numbers checked.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "language/model.hpp"
#include "language/tree/entry_syntax.hpp"
#include "record/entry.hpp"

namespace budwood::record {

/// The first and the last day of something, both included.
struct PlannedDays {
  calendar::Day first = 0;
  calendar::Day last = 0;
};

/// What a book knows that entries speak of.
class Known {
 public:
  Known() = default;
  virtual ~Known() = default;
  Known(const Known&) = delete;
  Known& operator=(const Known&) = delete;

  virtual std::vector<std::string> batches() const = 0;
  /// What a batch follows; nullptr when there is no such batch, or its protocol cannot be read.
  virtual const language::Protocol* protocol_of(const std::string& batch) const = 0;
  /// The orders of a batch, named within it: "grafting/2/1".
  virtual std::vector<std::string> orders_of(const std::string& batch) const = 0;
  /// The same as they are once its stages that are not over have gone on until after a day.
  virtual std::vector<std::string> orders_after(const std::string& batch,
                                                calendar::Day day) const = 0;
  /// The batches that a name stands for as a whole of several cultivars; none for any other.
  virtual std::vector<std::string> cultivars_of(const std::string& batch) const = 0;
  /// The whole that a batch is a cultivar of; "" when it is of none.
  virtual std::string whole_of(const std::string& batch) const = 0;
  /// The trays of a batch that is an arm of a trial, or of such a trial as a whole; none of others,
  /// of which nobody knows how many trays they fill.
  virtual std::vector<std::string> trays_of(const std::string& batch) const = 0;
  /// The days of a batch as it is planned, of all batches for ""; nothing when there are none.
  virtual std::optional<PlannedDays> days_of(const std::string& batch) const = 0;
  /// All supplies of all protocols.
  virtual std::vector<const language::Supply*> supplies() const = 0;
  /// The entries whose id begins so.
  virtual std::vector<Entry> entries(const std::string& front) const = 0;
};

/// What holds for lines that do not say it themselves.
struct Usual {
  calendar::Day day = 0;
  std::string by;
};

/// The entry that a line is, with an id but no moment and no turn; nothing when something in it is
/// wrong, which is reported.
std::optional<Entry> understand(const language::syntax::EntryLine& line, const Known& known,
                                const Usual& usual, text::Diagnostics& diagnostics);

}  // namespace budwood::record
