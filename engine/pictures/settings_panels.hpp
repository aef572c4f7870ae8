/// A panel for each unit, in the unit in which the settings are written; what is only worked
/// out keeps the unit of the reports. A number stands where a stage begins and ends, if it
/// meets no curve and no other text.
#pragma once

#include <string>
#include <vector>

#include "drawing/drawing.hpp"
#include "report/formats/filter.hpp"
#include "report/load/load_view.hpp"

/// The settings of batches as curves over days, worked out before they are drawn. Private to this
/// module.
namespace budwood::pictures {

/// One value over the days of a section: between `low` and `high`, which are the same where it is
/// no range. NaNs on days without it.
struct Curve {
  std::string name;  ///< "air by day"
  std::vector<double> low, high;
};

/// Curves in one unit.
struct Panel {
  std::string title;
  std::string unit;  ///< "" for what is counted
  bool from_zero = false;
  std::vector<Curve> curves;
};

/// A stage of a section.
struct SettingsSpan {
  std::string title;
  calendar::Day first = 0;  ///< its day 1, or the first of its days that is shown
  int day = 1;              ///< the number of that day
  std::size_t days = 0;     ///< that are shown, before plants wait
  std::size_t waits = 0;    ///< days afterwards
};

/// Stages of one part of a batch, one after the other.
struct Section {
  std::size_t batch = 0;  ///< in Plan::batches
  std::string title;
  std::vector<SettingsSpan> spans;
  std::vector<Panel> panels;
};

struct SettingsPicture {
  drawing::DayRange days;  ///< of all sections
  std::vector<Section> sections;
};

SettingsPicture settings_picture(const plan::Plan& plan, const report::Filter& filter);

}  // namespace budwood::pictures
