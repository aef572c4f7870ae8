#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "paper/html.hpp"

namespace budwood::paper {

/// A table below a title of its own, with a head, a row a thing; nothing when there are none.
void write_listing(Html& html, std::string_view title, const std::vector<std::string>& columns,
                   const std::vector<std::vector<std::string>>& rows);

}  // namespace budwood::paper
