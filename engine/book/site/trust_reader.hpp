/// Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// `trusts:` of a site: names that it gives to others, each with the key by which their packs are
/// known.
std::map<std::string, Placed<std::string>> read_trusts(const Node* node,
                                                       text::Diagnostics& diagnostics);

}  // namespace budwood::book
