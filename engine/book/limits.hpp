/// What the files of a book may say at most. Only for the .cpp files of this module.
#pragma once

#include <cstddef>
#include <cstdint>

namespace budwood::book {

inline constexpr std::size_t longest_line = 200;  ///< letters of a title or a lot
inline constexpr std::int64_t last_edition = 1'000'000;
inline constexpr std::int64_t most_plants = 10'000'000;  ///< of one batch
inline constexpr int longest_step = 366;  ///< days: between the batches of a series, or late

}  // namespace budwood::book
