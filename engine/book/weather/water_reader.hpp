/// Private to this module.
#pragma once

#include "book/weather/water.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "language/language.hpp"
#include "text/text.hpp"

namespace budwood::book {

struct Site;

/// The value of `water:`; what is wrong is reported and left out.
Water read_water(const Node& node, text::Diagnostics& diagnostics);

/// Feeds of protocols made with the water of the site: what a recipe says for its conductivity is
/// for pure water, so that less goes in where the raw water has some; and the acid that brings it
/// to its pH goes in, as the supply `acid`.
void use_site_water(const Site& site, language::Document& library);

}  // namespace budwood::book
