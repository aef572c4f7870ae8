#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace budwood::text {

/// The candidate nearest to `word` when it is near enough to be a slip (edit distance with
/// neighbouring swaps at most a third of the length, case ignored); "" when none is.
std::string nearest(std::string_view word, const std::vector<std::string>& candidates);

/// "Did you mean `x`?" for the nearest candidate, or "" when none is near.
std::string did_you_mean(std::string_view word, const std::vector<std::string>& candidates);

/// "a, b and c" (joined by `last`, "and" unless told).
std::string list_words(const std::vector<std::string>& words, std::string_view last = "and");

}  // namespace budwood::text
