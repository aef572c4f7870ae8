/// Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "language/model.hpp"

namespace budwood::book {

/// Gives protocols the site's own names for rooms, crews and supplies. Names that no protocol has
/// are reported, and supplies of one protocol that would get the same name.
void use_own_names(const Site& site, text::Diagnostics& diagnostics,
                   std::vector<language::Protocol>& protocols);

}  // namespace budwood::book
