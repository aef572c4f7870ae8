/// Private to this module.
///
/// What a site says of its dials (`steps:`) holds for everything that is set. Where it says
/// nothing, what somebody wrote stands as it is written, since they have a dial for it; only what
/// a formula gives, or lies between, of a taper, is put to the usual steps.
#pragma once

#include <string>

#include "book/site/site.hpp"
#include "climate/mist.hpp"

namespace budwood::plan {

/// Whether a value was written, or was worked out, as one that lies between two that were.
enum class Stands : std::uint8_t { written, between };

/// The mark of a dial that is nearest to a value, base units; for a value above 0 never 0.
double nearest_mark(const book::Dial& dial, double value);
/// The same for lengths of time that are above 0, nearest by ratio.
double nearest_mark_by_ratio(const book::Dial& dial, double value);

/// The dials of a room: its own, those of the site, or the usual ones.
class RoomDials {
 public:
  RoomDials(const book::Site& site, const std::string& room) : site_(site), room_(room) {}

  /// What a setting is put to, base units; `unit` is the one in which it is shown.
  double set(language::Measure measure, const units::Unit& unit, double value, Stands stands) const;
  /// The largest change that one order of a taper makes, base units: half of what two batches in a
  /// room may differ by, so that what is set is never far from what is asked; or a step of the dial
  /// where that is more.
  double largest_step(language::Measure measure, const units::Unit& unit) const;

  /// Pulse and interval of mist. Where the dial has another pulse than the one that is asked for,
  /// the interval makes up for it, so that the water a day stays what it is.
  climate::MistProgramme set(const climate::MistProgramme& asked, Stands pulse,
                             Stands interval) const;

 private:
  book::Dial dial(language::Measure measure, const units::Unit& unit, Stands stands) const;

  const book::Site& site_;
  const std::string& room_;
};

}  // namespace budwood::plan
