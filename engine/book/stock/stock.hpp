#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "book/yaml/written.hpp"
#include "calendar/calendar.hpp"

namespace budwood::book {

inline constexpr int most_generations = 50;

/// A germination test: so many of the seeds that were laid out gave a normal seedling.
struct GerminationTest {
  std::int64_t good = 0;
  std::int64_t of = 0;  ///< 1 to 10,000,000; `good` is not more
  calendar::Day day = 0;
  text::Span span;

  double share() const { return static_cast<double>(good) / static_cast<double>(of); }
};

/// On which terms a supply is bought.
struct BuyingTerms {
  std::optional<Written> price;  ///< of one unit of the supply, unless it says of what; 0 or more
  std::optional<Placed<double>> lead_time;  ///< seconds from order to delivery, at most five years
  std::optional<Written> pack;      ///< more than 0; a plain number is in the supply's own unit
  std::optional<Written> minimum;   ///< the least that is delivered, as `pack`
  std::optional<Written> delivery;  ///< money for each delivery, however much it brings
  /// From an amount on all of a delivery has another price.
  struct Break {
    Written from, price;
  };
  std::vector<Break> breaks;  ///< as written
};

/// What one of several suppliers asks.
struct Offer : BuyingTerms {
  Placed<std::string> supplier;
};

/// A lot of a supply: seed of one harvest, a delivery of plants or powder.
struct Lot {
  Placed<std::string> of;  ///< the supply, as protocols call it
  Written count;           ///< 0 or more; a plain number is in the supply's own unit
  /// The day of that count: what was taken before is not in it, and the lot serves nothing before.
  std::optional<calendar::Day> counted;
  std::optional<GerminationTest> test;
  std::optional<Placed<calendar::Day>> use_by;  ///< the last day on which it may be used
  std::string cultivar;                         ///< only for batches of it; "" for any
  text::Span span;                              ///< of its name
};

/// Mother plants, which give cuttings, scions or buds again and again.
struct Mothers {
  Placed<std::string> of;  ///< the supply that they give, as protocols call it
  std::int64_t plants = 0;
  Written gives;  ///< of each plant, each time; more than 0
  int every = 0;  ///< days until it can be taken again, 1 to 366
  Placed<calendar::Day> from;
  std::optional<Placed<calendar::Day>> until;    ///< the last day on which they give
  std::optional<Placed<calendar::Day>> planted;  ///< from which on their age counts
  std::optional<int> renew_after;                ///< days of age; others take their place then
  std::optional<int> first_after;                ///< days from planting to the first harvest
  /// How often they were propagated since the plants that were tested or selected; at least 0.
  std::optional<Placed<int>> generation;
  std::optional<Placed<std::string>> raised_from;  ///< mothers whose generation is one less
  std::optional<Placed<int>> at_most;              ///< generations that are allowed
  std::string cultivar;                            ///< only for batches of it; "" for any
  text::Span span;                                 ///< of their name
};

/// Plants that are ready and belong to no batch.
struct Finished {
  Placed<std::string> of;   ///< the protocol, or one variant of it, that they could come from
  std::int64_t plants = 0;  ///< 0 or more
  /// The day on which they were counted: what was taken before is not in it, and they serve nothing
  /// before.
  std::optional<calendar::Day> counted;
  std::optional<Placed<calendar::Day>> from, until;  ///< the first and last day on which they serve
  std::string cultivar;                              ///< "": of plants without a cultivar
  text::Span span;                                   ///< of its name
};

/// What is made here of other supplies, in the site's own way: it takes the place of the recipe of
/// a protocol. Supplies are as protocols call them, or known by this recipe alone.
struct SiteRecipe {
  struct Part {
    std::string supply;
    Written amount;  ///< for `makes`; more than 0, a plain number is in the supply's own unit
  };
  std::string title;
  Written makes;                        ///< more than 0
  std::optional<Written> vessel;        ///< made in whole ones; more than 0
  double ec = 0, ph = 0;                ///< that it is to have: S/m, a number; 0: it is not said
  std::optional<Placed<double>> keeps;  ///< seconds, more than 0; none: as long as one likes
  int before = 0;                       ///< days from making to use
  std::vector<Part> of;                 ///< as written, one or more
  double time = 0, setup = 0;           ///< seconds, for `makes` and once
  std::optional<Placed<std::int64_t>> people;
  Placed<std::string> crew;          ///< "": whoever is there
  std::vector<std::string> hazards;  ///< names that have a usual caution
  std::string tool, caution, note;
  text::Span span;  ///< of the supply that it makes
};

}  // namespace budwood::book
