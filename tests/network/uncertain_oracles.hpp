#pragma once

#include "network/controllability.hpp"
#include "random_network.hpp"

namespace budwood::network {

/// Dynamic controllability by saturation of the labelled distance graph (Morris & Muscettola 2005,
/// Temporal dynamic controllability revisited, AAAI; the lower-case and cross-case rules for
/// negative lengths only, which is the instantaneous reaction of Morris 2006). Slow, shares no code
/// with check_controllability.
bool controllable_by_saturation(const Uncertain& network);

/// Dynamic controllability in whole days by playing every game: nature against a grower who sees
/// the day's events before acting. For a handful of points and bounds of a few days.
bool controllable_by_play(const Uncertain& network);

/// A random network of up to `points` points with bounds of a few days.
Uncertain random_uncertain(Draw& draw, int points, int contingents, int spread);

/// The part of a network that a conflict names: its requirement bounds and whole contingent links.
Uncertain named_part(const Uncertain& network, const std::vector<Part>& conflict);

}  // namespace budwood::network
