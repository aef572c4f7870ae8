/// Private to this module.
///
/// A site's own words are put into the model once, when the book is read, so plans, loads and
/// needs speak them without knowing. A unit to show a value in is another matter than the unit
/// of a plain number in a file, so inputs and supplies have both (`unit`, `plain_unit`).
#pragma once

#include "book/site/site.hpp"
#include "language/language.hpp"

namespace budwood::book {

/// Gives protocols the site's own names for rooms, crews and supplies. Names that no protocol has
/// are reported, and supplies of one protocol that would get the same name.
void use_own_names(const Site& site, text::Diagnostics& diagnostics, language::Document& library);

}  // namespace budwood::book
