/// Demands that cannot run at the same time. Used inside this module only.
#pragma once

#include "levelling/search/model.hpp"

namespace budwood::levelling {

/// Finds pairs of demands that together take more than there ever is. Where the lags already
/// decide which comes first, that becomes a lag; else the pair gets a variable that is 1 when the
/// first demand ends before the other begins, and 0 when it is the other way round (Schutt, Feydy,
/// Stuckey & Wallace 2013). Makes the model impossible when neither way is left.
///
/// All-pairs longest paths, O(n^3) for n dates, so nothing is done above some hundred dates.
void add_orders(Model& model);

}  // namespace budwood::levelling
