#pragma once

#include "plan/settings/room_settings.hpp"

namespace budwood::plan {

/// Adds a conflict (`room-climate`) for each stage of a batch that wants another climate than what
/// stands in its room already, by more than the tolerance that the site gives.
///
/// Batches come to the room in the order of their start, then as in the book, and go to the first
/// of its zones in which they agree with all that stand there. One that agrees in none goes where
/// it is at odds on the fewest days; the conflict names whom it differs from on most of these.
/// Only what both set is compared; ranges agree when they come within the tolerance of each other.
/// Gives in which zone each of them stands.
Zones check_rooms(Plan& plan);

}  // namespace budwood::plan
