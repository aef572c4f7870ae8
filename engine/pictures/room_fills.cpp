#include "pictures/room_fills.hpp"

#include <array>

#include "report/formats/wording.hpp"

namespace budwood::pictures {

namespace {

using Fill = drawing::Pen::Fill;

/// Neighbours in this list look least alike.
constexpr std::array<Fill, 11> fillings = {Fill::white,      Fill::hatch,   Fill::grey,
                                           Fill::dots,       Fill::levels,  Fill::back_hatch,
                                           Fill::uprights,   Fill::squares, Fill::dense_dots,
                                           Fill::wide_hatch, Fill::checks};
/// Of all that are too many.
constexpr Fill shared = Fill::black;

}  // namespace

RoomFills::RoomFills(const plan::Plan& plan) {
  for (const plan::BatchPlan& batch : plan.batches) {
    for (const language::Stage& stage : plan.protocol_of(batch).stages) fills_[stage.room] = shared;
  }
  std::size_t next = 0;
  for (auto& [room, fill] : fills_) {
    if (next == fillings.size()) break;
    fill = fillings[next++];
  }
}

drawing::Pen RoomFills::pen(const std::string& room) const {
  const auto found = fills_.find(room);
  return {1, drawing::Pen::Dash::none, found == fills_.end() ? shared : found->second};
}

std::vector<drawing::LegendEntry> RoomFills::legend(const std::set<std::string>& rooms) const {
  using Sample = drawing::LegendEntry::Sample;
  std::vector<drawing::LegendEntry> out;
  std::vector<std::string> others;
  for (const std::string& room : rooms) {
    if (pen(room).fill == shared) {
      others.push_back(room);
    } else {
      out.push_back({pen(room), Sample::area, room.empty() ? "no room" : room});
    }
  }
  if (!others.empty()) {
    const drawing::Pen one{1, drawing::Pen::Dash::none, shared};
    out.push_back({one, Sample::area, report::joined(others, ", ")});
  }
  return out;
}

}  // namespace budwood::pictures
