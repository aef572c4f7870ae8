/// Lots, mother plants and finished plants of a site. Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "book/yaml/values.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// Reads of what something is, such as "the name of a supply", and for which cultivar alone.
void read_kind(const Fields& fields, const std::string& what, const std::string& example,
               Placed<std::string>& of, std::string& cultivar, text::Diagnostics& diagnostics);

inline constexpr std::string_view counted_on = " on ";
/// Takes " on 2027-01-12" off the end of a value; nothing when no day is told or it is none, which
/// is reported.
std::optional<calendar::Day> split_day(Node& node, const Wanted& wanted,
                                       text::Diagnostics& diagnostics);

/// A length of time in whole days, more than 0; `longest` is in seconds.
std::optional<int> read_whole_days(const Node& node, const Wanted& wanted, double longest,
                                   text::Diagnostics& diagnostics);

/// The value of `lots:`; nullptr is none.
void read_site_lots(const Node* node, Site& site, text::Diagnostics& diagnostics);

/// The value of `mothers:`; nullptr is none. Lots are there already: a batch names both in one
/// place, so their names differ.
void read_mothers(const Node* node, Site& site, text::Diagnostics& diagnostics);

/// The value of `finished:`; nullptr is none. Lots and mothers are there already: `--set` names all
/// of them in one place, so their names differ.
void read_finished(const Node* node, Site& site, text::Diagnostics& diagnostics);

/// The value of `surplus:`; nullptr is none.
void read_surplus(const Node* node, Site& site, text::Diagnostics& diagnostics);

/// The value of `recipes:`; nullptr is none.
void read_site_recipes(const Node* node, Site& site, text::Diagnostics& diagnostics);

}  // namespace budwood::book
