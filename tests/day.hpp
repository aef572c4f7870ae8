#pragma once

#include <doctest/doctest.h>

#include <string>

#include "calendar/calendar.hpp"

namespace budwood::tests {

/// The day that is written so, "2027-05-07".
inline calendar::Day day(const std::string& iso) {
  INFO(iso);
  const auto found = calendar::parse_iso_date(iso);
  REQUIRE(found);
  return *found;
}

}  // namespace budwood::tests
