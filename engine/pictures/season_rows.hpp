#pragma once

#include <string>
#include <vector>

#include "pictures/stage_bars.hpp"
#include "report/formats/filter.hpp"

/// The batches of a season, worked out before they are drawn. Private to this module.
namespace budwood::pictures {

/// A stage in a row of a batch.
struct SeasonBar {
  StageBar dates;
  std::size_t lane = 0;  ///< of the row; stages that overlap stand below each other
  std::string room;
  std::string title;               ///< for viewers that show it
  std::vector<std::string> names;  ///< what to write into it, the longest first
};

struct SeasonRow {
  std::size_t batch = 0;  ///< in Plan::batches
  std::string name;
  std::string facts;  ///< "240 plants, ready 2027-05-07; Approach graft"
  std::vector<SeasonBar> bars;
  std::size_t lanes = 1;

  calendar::Day start() const;
};

/// By start, then as in the book.
std::vector<SeasonRow> season_rows(const plan::Plan& plan, const report::Filter& filter);

/// The batches that pass a filter and have no dates.
std::vector<std::string> without_dates(const plan::Plan& plan, const report::Filter& filter);

}  // namespace budwood::pictures
