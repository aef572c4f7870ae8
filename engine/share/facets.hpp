/// What a protocol says, piece by piece, for holding another against it. Private to this module.
#pragma once

#include <string>
#include <vector>

#include "share/said.hpp"

namespace budwood::share {

/// One thing that is said: `lead` and then what it is about, "lasts " "8 to 10 days". Two protocols
/// say the same when `said` is exactly the same.
struct Facet {
  std::string about;  ///< unique in its thing: "length", "humidity"
  std::string lead;
  Said said;
};

/// Facets that can only be compared one by one when the other protocol says as many of the same
/// kind; else all of it is compared as a whole.
struct FacetGroup {
  std::string about;
  std::string lead;
  std::string shape;  ///< "keep, taper"
  std::vector<Facet> pieces;
  Said whole;
};

/// Something that has a name: the protocol itself, an input, a stage, a work.
struct Thing {
  std::string kind;   ///< "input", "stage", "work"
  std::string name;   ///< by which it is found in the other protocol
  std::string shown;  ///< in sentences: "input `take`", "\"Take clips off\""
  std::vector<Facet> facets = {};
  std::vector<FacetGroup> groups = {};
  std::vector<Thing> works = {};  ///< of a stage, in the order written

  /// Everything it says in its exact form.
  std::string exact() const;
};

/// The facts of the protocol as a whole: title, edition, crop, sources.
Thing facts_of(const Told& told);
/// Inputs, `let`s, tables, supplies, recipes, parts, observations, requirements and waivers.
std::vector<Thing> declarations_of(const Told& told);
/// Stages with their work, in the order written.
std::vector<Thing> stages_of(const Told& told);

}  // namespace budwood::share
