/// A finding is told once: what fails with the usual inputs whatever is ordered belongs to the
/// protocol, and plans add only what fails for a batch alone.
#pragma once

#include <memory>
#include <vector>

#include "sheet/template/template.hpp"
#include "text/text.hpp"

namespace budwood::sheet {

/// The requirements of a protocol, by number, that no batch meets while inputs are the usual ones,
/// whatever is ordered. What hangs on the calendar is left to the batches.
std::vector<std::size_t> never_met(const std::shared_ptr<const Template>& t);

/// Reports these: the protocol's own and those of the rules that it follows, waived ones as notes.
void report_requirements(const std::shared_ptr<const Template>& t, text::Diagnostics& diagnostics);

}  // namespace budwood::sheet
