#pragma once

#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// Works a protocol through once with its usual inputs, every day a working day, and reports what
/// cannot work whatever the batch: values outside their range, formulas without a value, dates that
/// contradict each other, work outside its stage, and rules that no batch could meet.
void try_out(const std::shared_ptr<const Template>& t, text::Diagnostics& diagnostics);

}  // namespace budwood::sheet
