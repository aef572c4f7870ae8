#pragma once

#include <string>

namespace budwood::share::test {

/// A protocol of one stage that lasts so many days, in this edition.
inline std::string protocol(int edition, const std::string& days) {
  return "protocol p \"Method\" { edition " + std::to_string(edition) +
         " part a stage s of a { lasts " + days + " days } }\n";
}

}  // namespace budwood::share::test
