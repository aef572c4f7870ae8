/// Private to this module.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "book/yaml/keys.hpp"
#include "editor/document.hpp"

namespace budwood::editor {

/// Keys from the outermost inwards; "*" in a pattern is a name that somebody has chosen.
using KeyPath = std::vector<std::string>;
bool fits(const KeyPath& path, const KeyPath& pattern);

/// Which known keys a map of a book's file has, by the keys around it; nothing for maps by name.
std::optional<book::KeyMap> key_map_at(FileKind file, const KeyPath& path);

}  // namespace budwood::editor
