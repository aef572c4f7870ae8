#pragma once

#include <algorithm>
#include <string>
#include <vector>

/// What is looked for in printed text.
namespace budwood::tests {

inline bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// Whether one of these is it, whole.
inline bool has(const std::vector<std::string>& all, const std::string& one) {
  return std::find(all.begin(), all.end(), one) != all.end();
}

/// Whether one of these holds the part.
inline bool any_has(const std::vector<std::string>& texts, const std::string& part) {
  return std::any_of(texts.begin(), texts.end(),
                     [&](const std::string& text) { return has(text, part); });
}

/// How often the part stands in the text.
inline std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos;
       at = text.find(part, at + part.size())) {
    ++found;
  }
  return found;
}

}  // namespace budwood::tests
