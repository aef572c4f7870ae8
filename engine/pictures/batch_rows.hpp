/// Words stand in a column and bars beside it: text in or beside bars collides as soon as
/// stages are short or titles long. With a row for each stage and each of its works nothing
/// can, and the picture reads like a list.
#pragma once

#include <string>
#include <vector>

#include "pictures/stage_bars.hpp"

/// What a picture of one batch tells of each stage, worked out before it is drawn. Private to this
/// module.
namespace budwood::pictures {

/// One kind of work of a stage, and the days on which it is done.
struct WorkRow {
  std::string title;
  struct Turn {
    calendar::Day date = 0;
    bool done = false;
  };
  std::vector<Turn> turns;
};

struct StageRow {
  StageBar bar;
  std::string title;
  std::string room;
  std::vector<std::string> facts;        ///< dates, plants, what waits
  std::string gate;                      ///< "until callus >= 80 %"; "" without one
  std::vector<WorkRow> works;            ///< that have days
  std::vector<language::StageId> takes;  ///< stages whose plants it takes
};

/// The stages of one part.
struct PartRows {
  std::string title;
  std::vector<StageRow> stages;
};

std::vector<PartRows> rows_of(const plan::Plan& plan, std::size_t batch);

/// From the first start to the last day on which something may still stand.
drawing::DayRange days_of(const std::vector<PartRows>& parts);

}  // namespace budwood::pictures
