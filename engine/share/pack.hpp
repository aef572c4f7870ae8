#pragma once

#include <optional>
#include <string>
#include <vector>

#include "language/language.hpp"
#include "language/model.hpp"
#include "language/rules/rules.hpp"
#include "share/archive.hpp"
#include "share/manifest.hpp"

namespace budwood::share {

/// What goes into a pack.
struct Packing {
  const language::Document& library;  ///< everything that could be rested on
  std::vector<const language::Protocol*> protocols;
  std::vector<const language::RuleSet*> rule_sets;
  PackNotes notes;
  std::vector<ArchivedFile> pages;  ///< "pages/bench_graft_edition_2.html"
  std::string secret_key;           ///< signed with it; "" when it is not to be signed
};

/// An archive with the files of these protocols and rule sets, and of all that they rest on, and
/// what it came to.
struct Pack {
  std::string bytes;
  Manifest manifest;
};
/// Files go in whole and as they are, so whatever else stands in them goes along. Nothing when
/// something is missing or too large, which `problem` then says.
std::optional<Pack> pack(const Packing& packing, std::string& problem);

/// The name of the page of a protocol in a pack.
std::string page_path(const language::Protocol& protocol);

}  // namespace budwood::share
