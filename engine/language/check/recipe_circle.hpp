#pragma once

#include "language/model.hpp"

namespace budwood::language {

/// Reports that recipes are made of each other, each of the next; `names` of what they make.
void report_recipe_circle(const std::vector<std::string>& names, const text::Span& span,
                          text::Diagnostics& diagnostics);
/// Reports that something does not keep as long as it is made before its use.
void report_spoilt_before(const text::Span& span, text::Diagnostics& diagnostics);

/// Takes all recipes out of a protocol when some are made of each other in a circle, and reports
/// it.
void refuse_recipe_circle(Protocol& protocol, text::Diagnostics& diagnostics);

}  // namespace budwood::language
