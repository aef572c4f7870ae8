#pragma once

#include <optional>
#include <string>

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// The title that was given, or one for what has only a name: "grow_on" reads "grow on".
std::string title_of(const std::optional<syntax::Text>& title, const syntax::Name& name);

/// Replaces a name wherever it stands as a whole word; whether it did.
bool replace_word(std::string& text, const std::string& name, const std::string& other);

}  // namespace budwood::language
