/// Patterns and no colours, because plans are printed in black on white.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "drawing/drawing.hpp"
#include "plan/plan.hpp"

namespace budwood::pictures {

/// Which room is filled how: the same in all pictures of a plan. Where there are more rooms than
/// fillings the last by name share one. Private to this module.
class RoomFills {
 public:
  explicit RoomFills(const plan::Plan& plan);

  drawing::Pen pen(const std::string& room) const;
  /// Of some rooms.
  std::vector<drawing::LegendEntry> legend(const std::set<std::string>& rooms) const;

 private:
  std::map<std::string, drawing::Pen::Fill> fills_;
};

}  // namespace budwood::pictures
