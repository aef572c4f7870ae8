/// Lots and mother plants of a site. Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// Reads of which supply something is, and for which cultivar alone.
void read_kind(const Fields& fields, const std::string& example, Placed<std::string>& of,
               std::string& cultivar, text::Diagnostics& diagnostics);

/// The value of `lots:`; nullptr is none.
void read_site_lots(const Node* node, Site& site, text::Diagnostics& diagnostics);

/// The value of `mothers:`; nullptr is none. Lots are there already: a batch names both in one
/// place, so their names differ.
void read_mothers(const Node* node, Site& site, text::Diagnostics& diagnostics);

/// The value of `recipes:`; nullptr is none.
void read_site_recipes(const Node* node, Site& site, text::Diagnostics& diagnostics);

}  // namespace budwood::book
