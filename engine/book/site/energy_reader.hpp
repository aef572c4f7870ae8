/// Private to this module.
#pragma once

#include "book/site/money_reader.hpp"
#include "book/site/site.hpp"

namespace budwood::book {

/// The value of `energy:`: prices, by the kWh where they do not say of what.
Site::Energy read_energy(const Node& node, MoneyReader& money, text::Diagnostics& diagnostics);

/// What a room loses: "4 W/m2/K of 320 m2", or "1280 W/K"; W/K.
std::optional<Placed<double>> read_heat_loss(const Node& node, text::Diagnostics& diagnostics);
/// Its floor, m2.
std::optional<double> read_area(const Node& node, text::Diagnostics& diagnostics);
/// What its lamps give for the energy that they take, or what they take on a square metre.
std::optional<Room::Lamps> read_lamps(const Node& node, text::Diagnostics& diagnostics);

}  // namespace budwood::book
