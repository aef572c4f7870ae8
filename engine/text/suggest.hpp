#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace budwood::text {

/// The candidate nearest to `word` when it is near enough to be a slip (edit distance with
/// neighbouring swaps at most a third of the length, case ignored); "" when none is. Among more
/// than a thousand candidates it does not look: no written method has so many, and it would take
/// long.
std::string nearest(std::string_view word, const std::vector<std::string>& candidates);

/// "Did you mean `x`?" for the nearest candidate, or "" when none is near.
std::string did_you_mean(std::string_view word, const std::vector<std::string>& candidates);

/// Text as it may stand in a message: whole when it is short, else its first characters and "...".
std::string shortened(std::string_view text);

/// "a, b and c" (joined by `last`, "and" unless told).
std::string list_words(const std::vector<std::string>& words, std::string_view last = "and");

}  // namespace budwood::text
