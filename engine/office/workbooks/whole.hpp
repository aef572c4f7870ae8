#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace budwood::office {

/// What was put into a sheet.
struct SheetFacts {
  std::size_t cells = 0;
  std::size_t text = 0;  ///< bytes of all texts in cells
};

/// Whether a workbook holds all that was put into its sheets, in XML that can be read: the library
/// that writes it does not notice when one of its temporary files cannot be written. Gives what is
/// wrong, in words; "" when nothing is.
std::string missing_in(std::string_view workbook, const std::vector<SheetFacts>& sheets);

}  // namespace budwood::office
