/// Private to this module.
#pragma once

#include <filesystem>
#include <memory>

#include "book/yaml/yaml_tree.hpp"
#include "climate/climate.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The temperatures that the value of `climate:` gives: those of a file (its path counts from
/// `folder`), or the normals of twelve months for every day of the calendar. What is wrong is
/// reported, and then there are none.
std::shared_ptr<const climate::DailySeries> read_climate(const Node& node,
                                                         const std::filesystem::path& folder,
                                                         text::Sources& sources,
                                                         text::Diagnostics& diagnostics);

}  // namespace budwood::book
