/// What the files of a book may say at most. Only for the .cpp files of this module.
#pragma once

#include <cstddef>
#include <cstdint>

#include "language/limits.hpp"

namespace budwood::book {

inline constexpr std::size_t longest_line = 200;  ///< letters of a title or a lot
inline constexpr std::int64_t last_edition = 1'000'000;
inline constexpr auto most_plants = static_cast<std::int64_t>(language::limits::most_plants);
inline constexpr auto most_people = static_cast<std::int64_t>(language::limits::most_people);
inline constexpr int longest_step = 366;  ///< days: between the batches of a series, or late

}  // namespace budwood::book
