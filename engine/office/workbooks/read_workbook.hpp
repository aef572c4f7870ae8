#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace budwood::office {

/// The first sheet of a workbook as it reads on the screen: rows of cells, "" where there is none.
/// Dates are written 2027-04-08 and times of day 6:10, whatever the spreadsheet shows them as; all
/// other numbers stand in full.
struct ReadSheet {
  std::vector<std::vector<std::string>> rows;
  std::string problem;  ///< why it cannot be read; "" when all is well
};

/// Reads an XLSX file (ECMA-376), which may be anybody's: how much of it is read is bounded.
ReadSheet read_workbook(std::string_view bytes);

}  // namespace budwood::office
