#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "book/batches/batch.hpp"
#include "book/site/site.hpp"
#include "book/yaml/written.hpp"
#include "calendar/calendar.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// One value of a book as text that does not stand in its files, such as a change that is tried
/// out.
struct SingleValue {
  std::string text;
  text::Span span;  ///< where mistakes are reported
};

/// Each reads a value just as the files of a book are read: what they refuse is reported in the
/// same words, and gives nothing.

/// An input: a number and perhaps a unit, and a count that it rests on.
std::optional<Written> read_input(const std::string& name, const SingleValue& value,
                                  text::Diagnostics& diagnostics);
/// `plants` of a batch, 1 to 10,000,000.
std::optional<Placed<std::int64_t>> read_plants(const SingleValue& value,
                                                text::Diagnostics& diagnostics);
/// `sure` of a batch, a share above 0 and below 1.
std::optional<Placed<double>> read_sure(const SingleValue& value, text::Diagnostics& diagnostics);
/// `spare` of a batch, a share from 0 to under 1.
std::optional<Placed<double>> read_spare(const SingleValue& value, text::Diagnostics& diagnostics);
/// `full_trays` of a batch, `yes` or `no`.
std::optional<Placed<bool>> read_full_trays(const SingleValue& value,
                                            text::Diagnostics& diagnostics);
/// `ready`, `start`, a date of a stage.
std::optional<Placed<calendar::Day>> read_date(std::string_view key, const SingleValue& value,
                                               text::Diagnostics& diagnostics);
/// Plants that were counted at the end of a stage, 0 to 10,000,000.
std::optional<Placed<std::int64_t>> read_count(std::string_view key, const SingleValue& value,
                                               text::Diagnostics& diagnostics);
/// `people` of a crew, 1 to 10,000.
std::optional<Placed<std::int64_t>> read_people(const SingleValue& value,
                                                text::Diagnostics& diagnostics);
/// `hours` of a crew in seconds, above 0 and up to a day.
std::optional<Placed<double>> read_hours(const SingleValue& value, text::Diagnostics& diagnostics);
/// `count` of a lot: 0 or more, and perhaps a unit.
std::optional<Written> read_lot_count(const SingleValue& value, text::Diagnostics& diagnostics);
/// What a site says of a supply: `price`, `on_hand`, `minimum`, `lead_time`, `keeps`; read into the
/// facts of the supply. False when it cannot be read, or is none of these.
bool read_supply_value(const std::string& key, const SingleValue& value,
                       const std::optional<Placed<std::string>>& currency, SupplyFacts& facts,
                       text::Diagnostics& diagnostics);
/// `too_many` or `too_few` of a demand: money for one plant, 0 or more.
std::optional<Written> read_loss_of_plant(const std::string& key, const SingleValue& value,
                                          const Site& site, text::Diagnostics& diagnostics);
/// Whether the numbers of a demand ascend, and something is lost on a plant; else it is reported.
bool check_demand(const Demand& demand, text::Diagnostics& diagnostics);
/// How long what is made keeps, seconds, more than 0.
std::optional<Placed<double>> read_recipe_keeps(const SingleValue& value,
                                                text::Diagnostics& diagnostics);
/// The vessel in which it is made: more than 0, and perhaps a unit.
std::optional<Written> read_recipe_vessel(const SingleValue& value, text::Diagnostics& diagnostics);
/// Of a room: the share of daylight that it lets in; the light of its lamps, mol/m2/s.
std::optional<Placed<double>> read_lets_in(const SingleValue& value,
                                           text::Diagnostics& diagnostics);
std::optional<Placed<double>> read_lights(const SingleValue& value, text::Diagnostics& diagnostics);
/// What a room loses, W/K, as in the book.
std::optional<Placed<double>> read_heat_loss(const SingleValue& value,
                                             text::Diagnostics& diagnostics);
/// What energy costs, `electricity` or `heat`, money for a joule: as in the book.
std::optional<double> read_energy_price(const std::string& key, const SingleValue& value,
                                        const std::optional<Placed<std::string>>& currency,
                                        text::Diagnostics& diagnostics);
/// Closed days: "2027-03-04", "2027-03-04 to 2027-03-08".
std::optional<Closed> read_closed(const SingleValue& value, text::Diagnostics& diagnostics);

}  // namespace budwood::book
