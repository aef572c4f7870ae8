#include "text/suggest.hpp"

#include <algorithm>
#include <cctype>

namespace budwood::text {

namespace {

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

/// Restricted Damerau-Levenshtein distance: insertions, deletions, changes and swaps of neighbours.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> two_back(b.size() + 1);
  std::vector<std::size_t> back(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) back[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = back[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({change, back[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], two_back[j - 2] + 1);
      }
    }
    std::swap(two_back, back);
    std::swap(back, row);
  }
  return back[b.size()];
}

}  // namespace

std::string nearest(std::string_view word, const std::vector<std::string>& candidates) {
  constexpr std::size_t longest_word = 64;
  constexpr std::size_t most_candidates = 1000;
  if (word.empty() || word.size() > longest_word || candidates.size() > most_candidates) return {};
  const std::string wanted = lower(word);
  std::size_t best = wanted.size() <= 2 ? 2 : std::max<std::size_t>(1, wanted.size() / 3) + 1;
  std::string found;
  for (const std::string& candidate : candidates) {
    const std::size_t apart =
        std::max(candidate.size(), wanted.size()) - std::min(candidate.size(), wanted.size());
    if (candidate.size() > longest_word || apart >= best) continue;
    const std::size_t distance = edit_distance(wanted, lower(candidate));
    if (distance < best) {
      best = distance;
      found = candidate;
    }
  }
  return found;
}

std::string did_you_mean(std::string_view word, const std::vector<std::string>& candidates) {
  const std::string found = nearest(word, candidates);
  return found.empty() ? std::string{} : "Did you mean `" + found + "`?";
}

std::string shortened(std::string_view text) {
  constexpr std::size_t longest = 40;
  if (text.size() <= longest) return std::string(text);
  std::size_t cut = longest;
  while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) --cut;
  return std::string(text.substr(0, cut)) + "...";
}

std::string list_words(const std::vector<std::string>& words, std::string_view last) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0 && i + 1 == words.size()) {
      out.append(" ").append(last).append(" ");
    } else if (i > 0) {
      out += ", ";
    }
    out += words[i];
  }
  return out;
}

}  // namespace budwood::text
