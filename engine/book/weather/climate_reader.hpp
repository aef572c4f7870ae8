/// Private to this module.
#pragma once

#include <filesystem>

#include "book/weather/weather_file.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The weather that the value of `climate:` gives: temperatures of a file (its path counts from
/// `folder`), or the normals of twelve months for every day of the calendar; the sun of the file,
/// and what is usual of it. What is wrong is reported, and then there is none.
Weather read_climate(const Node& node, const std::filesystem::path& folder, text::Sources& sources,
                     text::Diagnostics& diagnostics);

}  // namespace budwood::book
