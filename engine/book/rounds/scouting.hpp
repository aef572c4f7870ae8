#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "text/text.hpp"

namespace budwood::book {

inline constexpr int longest_scouting = 1000;        ///< days from the first to the last
inline constexpr int longest_round = 60;             ///< days from one round to the next
inline constexpr double usual_card_time = 5 * 60.0;  ///< seconds; common practice, no source

/// A round through a room with sticky cards, again and again: it goes with the room, whatever
/// batches stand in it.
struct Scouting {
  std::vector<std::string> pests;  ///< one at least, in the order written
  text::Span pests_span;
  double act_at = 0;       ///< so many of one kind on a card; 0: nobody has said
  int every = 7;           ///< days, 1 to longest_round
  std::int64_t cards = 1;  ///< 1 or more
  calendar::Day from = 0, until = 0;
  std::string crew;  ///< "": whoever is there
  text::Span crew_span;
  double time = usual_card_time;  ///< seconds for each card
  text::Span span;
};

}  // namespace budwood::book
