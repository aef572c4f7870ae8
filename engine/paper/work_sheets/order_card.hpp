#pragma once

#include "paper/html.hpp"
#include "report/formats/filter.hpp"

namespace budwood::paper {

/// Writes one order to be ticked off: what, where, with what, what to mind, and blanks for what is
/// to be written down. It begins with its title and ends with its id, and is never split over two
/// pages.
///
/// "Follow the product label ..." is left out of its cautions: each page has it in its head.
void write_order_card(Html& html, const plan::Plan& plan, const report::SelectedOrder& order);

/// Whether its cautions end with the line that is left out.
bool defers_to_label(const plan::Plan& plan, const report::SelectedOrder& order);

}  // namespace budwood::paper
