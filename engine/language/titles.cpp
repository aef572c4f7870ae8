#include "language/titles.hpp"

#include <algorithm>

namespace budwood::language {

std::string title_of(const std::optional<syntax::Text>& title, const syntax::Name& name) {
  if (title) return title->value;
  std::string out = name.text;
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

}  // namespace budwood::language
