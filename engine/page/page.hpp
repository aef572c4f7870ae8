/// The page: a book in a browser, for people who would rather look and touch than type commands.
///
///   page::Serving serving;
///   serving.folder = "mybook";
///   const std::string problem = page::serve(serving, [](const std::string& address) { ... });
///
/// Routes are thin: they read what is asked, ask the engine and write JSON. The book is read and
/// planned once and kept; when one of its files changes, whoever changed it, it is read anew, and
/// open windows are told. What the page changes goes into the files of the book and its record, as
/// commands would put it there.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"

namespace budwood::page {

/// What is shown to whom.
struct Serving {
  std::filesystem::path folder = ".";
  std::optional<calendar::Day> today;  ///< the day from which plans go on; see book::Book::today
  std::string host = "127.0.0.1";
  int port = 8040;                 ///< 0: any that is free
  std::vector<std::string> names;  ///< further names under which browsers may ask for it
  bool read_only = false;
};

/// "127.0.0.1:8040" as host and port of a serving. What is wrong with it, in words; "" when nothing
/// is. An address of IPv6 stands in brackets.
std::string read_address(const std::string& text, Serving& out);

/// Shows a book until the run is ended. `ready` is called with the address for a browser when it
/// can be asked. Gives why that could not be, in a sentence.
///
/// On an address of this machine alone everybody may do everything, as long as the book names no
/// people (`people/people.hpp`); else people sign in. Without people no other address is served.
std::string serve(const Serving& serving, const std::function<void(const std::string&)>& ready);

}  // namespace budwood::page
