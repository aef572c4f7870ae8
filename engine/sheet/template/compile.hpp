#pragma once

#include <memory>

#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// Compiles a protocol that has no errors. Formulas that rest on each other in a circle are
/// reported and give nullptr.
std::shared_ptr<const Template> compile(language::Protocol protocol,
                                        text::Diagnostics& diagnostics);

}  // namespace budwood::sheet
