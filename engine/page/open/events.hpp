#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <mutex>
#include <string>
#include <vector>

namespace budwood::page {

/// Something that open windows are told.
struct Event {
  std::uint64_t number = 0;
  std::string name;  ///< "planned", "cells"
  std::string data;  ///< JSON, one line
};

/// What happened lately, for as many listeners as there are windows.
class Events {
 public:
  void tell(std::string name, std::string data);
  /// The number of the last one.
  std::uint64_t last() const;
  /// Those after a number, as soon as there are any; none when there was nothing for so long.
  /// `missed`: some that came after it are forgotten, so the listener has to ask for all anew.
  std::vector<Event> after(std::uint64_t number, std::chrono::milliseconds wait, bool& missed);

 private:
  mutable std::mutex mutex_;
  std::condition_variable told_;
  std::deque<Event> events_;
  std::uint64_t last_ = 0;
};

}  // namespace budwood::page
