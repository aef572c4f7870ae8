/// Waiting for the next working day is no fixed number of days, but never earlier for a later
/// start. So it is a limit of the network like others, and plans stay unique.
#pragma once

#include "network/network.hpp"
#include "sheet/dates/start_days.hpp"

namespace budwood::sheet {

/// Plants that may not wait otherwise may still wait for the next working day, `most` days at most:
/// the last day on which what follows can start, by the day on which they are ready for it.
class WorkingDayWait : public network::MonotoneLength {
 public:
  static constexpr int most = 3;

  explicit WorkingDayWait(const calendar::WorkingDays& working) : working_(working) {}

  /// Ends outside the window are not known.
  void look_within(const DayWindow& window) { window_ = window; }

  std::optional<calendar::Day> end_of(calendar::Day start) const override;
  std::optional<calendar::Day> latest_start(calendar::Day end) const override;

 private:
  const calendar::WorkingDays& working_;
  DayWindow window_;
};

}  // namespace budwood::sheet
