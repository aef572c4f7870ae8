/// Private to this module. The definition is made from the files when the program is built.
#pragma once

#include <string_view>
#include <vector>

namespace budwood::manual {

struct Text {
  std::string_view name;  ///< "book" of grammar/book.md
  std::string_view text;
};
const std::vector<Text>& texts();

}  // namespace budwood::manual
