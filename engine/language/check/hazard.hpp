#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace budwood::language {

/// The names that `hazard` knows.
const std::vector<std::string>& hazard_names();

/// The usual caution for a hazard; "" for a name that is not one.
std::string_view usual_caution(std::string_view hazard);

/// Puts the usual caution of each of these hazards behind a grower's own, and what they end with.
void add_usual_cautions(const std::vector<std::string>& hazards,
                        std::vector<std::string>& cautions);

/// The hazard that work with a tag brings along by its nature; "" for most tags.
std::string_view hazard_of_tag(std::string_view tag);

/// Whether a caution is one of the usual ones, or what they end with, and not a grower's own.
bool is_usual_caution(std::string_view caution);

/// What every caution ends with: the label, the law and licensed people come first.
std::string_view caution_deference();

}  // namespace budwood::language
