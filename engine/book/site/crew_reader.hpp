/// Crews of a site. Private to this module.
#pragma once

#include <optional>

#include "book/site/crew.hpp"
#include "book/site/money_reader.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// One entry of `crews:`. Nothing when its people or hours are wrong; wrong leave and extra people
/// are left out. All mistakes are reported.
std::optional<Crew> read_crew(const Entry& entry, const calendar::WorkingDays& working,
                              MoneyReader& money, text::Diagnostics& diagnostics);

}  // namespace budwood::book
