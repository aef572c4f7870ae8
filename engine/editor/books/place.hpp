/// Private to this module.
#pragma once

#include <string>
#include <vector>

#include "editor/document.hpp"

namespace budwood::editor {

/// A place in the YAML of a book that somebody is typing, found by lines and indents alone, because
/// what is being typed is seldom YAML.
struct BookPlace {
  std::vector<std::string> path;  ///< the keys around it, the outermost first: rooms, bench
  std::string key;                ///< whose value is typed; "" when it is a key
  Range word;                     ///< what has been typed of it
};

BookPlace book_place(const Document& document, Position position);

/// The value of another key of the same item of a list: "protocol" of a batch; "" when it has none.
std::string beside(const Document& document, Position position, const std::string& key);

}  // namespace budwood::editor
