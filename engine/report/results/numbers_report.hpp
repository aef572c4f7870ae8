#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "results/compare_numbers.hpp"

namespace budwood::report {

/// What two groups were held against each other in.
enum class Compare : std::uint8_t { rate, days, cost, survival, germination };

/// Writes them as write_compared does: the sentence that answers first.
void write_numbers(std::ostream& out, const std::vector<results::ComparedNumbers>& all,
                   Compare what, Format format, const Style& style = {});

/// "Ines was faster: 143.6 against 120.0 plants an hour, by 3.1 to 40.2; by luck alone so large a
/// difference comes 1 time in 33."
std::string answer(const results::ComparedNumbers& one, Compare what);
std::vector<std::string> grounds(const results::ComparedNumbers& one, Compare what);

}  // namespace budwood::report
