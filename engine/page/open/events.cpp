#include "page/open/events.hpp"

namespace budwood::page {

namespace {
constexpr std::size_t most_events = 500;
}

void Events::tell(std::string name, std::string data) {
  {
    const std::lock_guard lock(mutex_);
    events_.push_back({++last_, std::move(name), std::move(data)});
    if (events_.size() > most_events) events_.pop_front();
  }
  told_.notify_all();
}

std::uint64_t Events::last() const {
  const std::lock_guard lock(mutex_);
  return last_;
}

std::vector<Event> Events::after(std::uint64_t number, std::chrono::milliseconds wait,
                                 bool& missed) {
  std::unique_lock lock(mutex_);
  told_.wait_for(lock, wait, [&] { return last_ > number; });
  std::vector<Event> out;
  for (const Event& event : events_) {
    if (event.number > number) out.push_back(event);
  }
  missed = !out.empty() && out.front().number > number + 1;
  return out;
}

}  // namespace budwood::page
