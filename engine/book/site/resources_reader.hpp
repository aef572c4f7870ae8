/// Rooms, crews and supplies of a site. Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The value of `rooms:`; nullptr is none.
void read_rooms(const Node* node, Site& site, text::Diagnostics& diagnostics);

/// The values of `crews:`, `supplies:` and `energy:`; nullptr is none.
struct PricedNodes {
  const Node* crews = nullptr;
  const Node* supplies = nullptr;
  const Node* energy = nullptr;
};
/// They are read together because all money is in one currency: the site's, which is set here when
/// only prices name it. The site's working days are there already.
void read_priced(const PricedNodes& nodes, Site& site, text::Diagnostics& diagnostics);

}  // namespace budwood::book
