/// How sure each chain of a batch is made, so that the batch is as sure of its number as was asked
/// and starts no plant more than that takes.
///
/// Chains that are each sure to the k-th root of what is asked are sure together, but more than was
/// asked: what one brings beyond its need makes up for what the next one lacks. So levels are
/// tried: first one for all chains, from the k-th root down as far as the chance of the whole
/// batch allows, then each chain by itself is let start one plant less as long as it does. What is
/// tried are the programs of the sheet itself, so minimums, full trays and losses that depend on
/// counts are as they will be.
#pragma once

#include <span>
#include <vector>

#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// The level of each chain in `t.assurances.levels`. `given` are the values of
/// `t.assurances.given`. 0 where nothing was asked; without a chance the k-th root.
std::vector<double> assurances(const ProgramContext& context, std::span<const double> given);

/// Gives the levels of a template their programs, once its other cells have theirs. `order` has
/// each cell after what it rests on, the dates as one more cell.
void complete_assurances(Template& t, std::span<const CellId> order);

}  // namespace budwood::sheet
