/// What a batch under way does not keep of its protocol.
///
/// What happened cannot be a contradiction: limits between two dates that were recorded bind
/// nothing, they are told with both numbers. From there on the limits hold as far as they can.
/// Where they cannot, first the day by which the batch is to be ready gives way, then dates that
/// are only wanted, a season that is far off, waits, `after ... by`, lengths, a season that is
/// near, and each by as few days as can be. So a batch that has begun always has dates.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "language/model.hpp"
#include "text/text.hpp"

namespace budwood::sheet {

struct Deviation {
  enum class Kind : std::uint8_t {
    ready,   ///< later than asked for
    wanted,  ///< a date that the batch sets is not kept
    length,  ///< a stage lasts longer or shorter than nature's range
    wait,    ///< plants wait longer for the next stage than they may
    after,   ///< `after ... by` or `starts within`
    season,  ///< a stage starts out of its season
    work,    ///< work that must be done is due on a day on which nobody works
  };
  Kind kind = Kind::length;
  language::StageId stage;  ///< whose limit it is; none: of the batch
  bool happened = false;    ///< else it lies ahead
  int days = 0;             ///< by how many
  std::string text;         ///< in words, with both numbers
  text::Span span;          ///< of what is not kept
};

}  // namespace budwood::sheet
