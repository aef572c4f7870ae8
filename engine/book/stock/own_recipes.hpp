/// Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "language/language.hpp"

namespace budwood::book {

/// Puts the site's own recipes into every protocol that uses what they make: in the place of its
/// own, with the supplies that they are made of. What does not fit is reported once.
void use_own_recipes(const Site& site, text::Diagnostics& diagnostics, language::Document& library);

}  // namespace budwood::book
