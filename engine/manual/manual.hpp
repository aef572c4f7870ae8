/// The references that lie in `grammar/`, by topic: a code of a finding, a statement of the
/// language, a heading.
///
///   look_up("unit-mismatch")   what the code means, a text that has it and one that does not
///   look_up("lasts")           how the statement is written and what it means
///   look_up("climate")         the sections of that name
#pragma once

#include <string>
#include <vector>

namespace budwood::manual {

/// What there is to say on a topic, as Markdown; "" when nothing is known of it.
std::string look_up(const std::string& topic);

/// A topic near to one that is not known; "" when none is.
std::string nearest_topic(const std::string& topic);

/// Headings of all references, in their order, each with the number of its level from 1.
struct Heading {
  std::string text;
  int level = 1;
};
std::vector<Heading> headings();

/// The codes of findings that are explained, by name.
std::vector<std::string> codes();

/// What the reference of the book says of a key of a map, by the map's heading: Markdown; "" when
/// nothing is said.
std::string about_key(const std::string& heading, const std::string& key);

/// The file of the references in which a code is explained, and where: "mistakes.md#unit-mismatch";
/// "" when it is a code of somebody's own rules.
std::string place_of(const std::string& code);

}  // namespace budwood::manual
