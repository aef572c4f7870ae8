#pragma once

#include <cstdint>
#include <optional>

namespace budwood::statistics {

/// From where to where a share, or a difference of shares, may lie. Name the method beside the
/// limits: other methods give others for the same counts.
struct Interval {
  double low = 0;
  double high = 0;
};

/// x of n plants are good. `confidence` is that of both limits together, 0.95 for 2.5 % on each
/// side. Refused, with nothing: x outside 0 to n, n below 1 or above `largest_count`, a confidence
/// that is not above 0 and below 1.

/// Score interval (Wilson 1927, J. Am. Stat. Assoc. 22:209-212; method 3 in Newcombe 1998, Stat.
/// Med. 17:857-872). Never outside 0 to 1.
std::optional<Interval> wilson(std::int64_t x, std::int64_t n, double confidence = 0.95);
/// The same for a given z above 0, for one-sided limits.
std::optional<Interval> wilson_for_z(std::int64_t x, std::int64_t n, double z);

}  // namespace budwood::statistics
