#pragma once

#include <string>
#include <vector>

#include "files/place_all.hpp"
#include "language/model.hpp"

namespace budwood::app {

/// The files of a small book that explain themselves and plan at once, all in `folder`.
///
/// With a protocol of the library the book begins from that: it has a protocol of its own that is
/// based on it, and what rooms and crews it needs. Without one it has a small protocol of its own.
std::vector<files::NewFile> first_book(const std::filesystem::path& folder,
                                       const language::Protocol* from, calendar::Day today);

}  // namespace budwood::app
