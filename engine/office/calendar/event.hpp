#pragma once

#include <map>
#include <string>

#include "calendar/calendar.hpp"

namespace budwood::office {

/// What a calendar tells of one day's work. Texts are as they come back from a file: printable,
/// lines ended by '\n', no blanks at either end.
struct Event {
  std::string uid;
  calendar::Day date = 0;
  std::string summary;
  std::string location;
  std::string description;
  std::string category;
  bool cancelled = false;
  int sequence = 0;  ///< how often it was revised

  /// Whether people would see no difference.
  bool tells_the_same(const Event& other) const {
    return uid == other.uid && date == other.date && summary == other.summary &&
           location == other.location && description == other.description &&
           category == other.category && cancelled == other.cancelled;
  }
};

using Events = std::map<std::string, Event>;  ///< by uid

}  // namespace budwood::office
