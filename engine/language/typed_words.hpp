/// Words that growers type and that are called something else here, with what to write instead. The
/// table is kept by collecting what people wrote; for some half of the words
/// tests/language/typed.txt holds a line by which the message is judged. Private to this module.
#pragma once

#include <string>
#include <string_view>

namespace budwood::language {

/// Each gives what to write, as a sentence; "" for a word that is not known.

/// Where a statement starts: "duration", "humidity", "weekly".
std::string advice_for_statement(std::string_view word, unsigned blocks);
/// Behind `keep` or `taper`: "RH", "bottom_heat".
std::string advice_for_setting(std::string_view word);
/// Behind a number: "litres", "sec", "degrees".
std::string advice_for_unit(std::string_view word);
/// Where a value stands: "two".
std::string advice_for_value(std::string_view word);
/// Within a statement where it does not fit: "about", "weekly", "->". `before` stands before it,
/// `timing`: it is said when work is done.
std::string advice_for_slip(std::string_view word, std::string_view before, bool timing);

}  // namespace budwood::language
