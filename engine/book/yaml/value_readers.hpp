/// Values that a batch or site may have, each with its kind and range, from YAML. Private to this
/// module; `single_values.hpp` has the same for text from elsewhere.
#pragma once

#include "book/yaml/single_values.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// A single value as it would stand in a file.
Node scalar_of(const SingleValue& value);

std::optional<Placed<std::int64_t>> read_plants(const Node& node, text::Diagnostics& diagnostics);
std::optional<Placed<double>> read_sure(const Node& node, text::Diagnostics& diagnostics);
/// `spare`, a share from 0 to under 1.
std::optional<Placed<double>> read_spare(const Node& node, text::Diagnostics& diagnostics);
/// `lets_in`, a share from 0 to 1.
std::optional<Placed<double>> read_lets_in(const Node& node, text::Diagnostics& diagnostics);
/// `yes` or `no`.
std::optional<Placed<bool>> read_yes(std::string_view key, const Node& node,
                                     text::Diagnostics& diagnostics);
std::optional<Placed<calendar::Day>> read_date(std::string_view key, const Node& node,
                                               text::Diagnostics& diagnostics);
std::optional<Placed<std::int64_t>> read_count(std::string_view key, const Node& node,
                                               text::Diagnostics& diagnostics);
std::optional<Placed<std::int64_t>> read_people(const Node& node, text::Diagnostics& diagnostics);
std::optional<Placed<double>> read_hours(const Node& node, text::Diagnostics& diagnostics);
std::optional<Closed> read_closed(const Node& node, text::Diagnostics& diagnostics);

}  // namespace budwood::book
