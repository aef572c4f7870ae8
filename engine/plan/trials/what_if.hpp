/// A what-if is an edited copy of the book, planned anew, so that closures, rules and conflicts
/// follow without code of their own. A change is a source like a file: its mistakes are told
/// like those of a file, and its values go through the readers of the book
/// (`book/yaml/single_values.hpp`). Moves (`1 week earlier`) count from the plan before, not
/// from each other.
///
/// It is no edit of a sheet (`sheet/columns/edit.hpp`): that changes a row in base units and can be
/// taken back; this changes what a grower wrote, crews and editions included, in a grower's words.
/// What both do, giving a batch a value with the count behind it, is `sheet/columns/given.hpp`.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "book/book.hpp"

namespace budwood::plan {

struct Plan;

/// One value that is changed to see what comes of it.
struct Change {
  enum class Kind : std::uint8_t { quantity, date, yes_no };
  static constexpr double none = std::numeric_limits<double>::quiet_NaN();

  std::string batch;  ///< its id; "" for the site
  std::string name;   ///< "take", "ready", "rooting.end"; of the site "grafting.people", "closed"
  Kind kind = Kind::quantity;
  units::Unit unit;  ///< of a quantity
  double before =
      none;  ///< base units, a day, or 1 for yes; none when there was no value of its own
  double after = none;  ///< none when it is given up
  std::string until;    ///< of closed days: the last one; "" when it is one day
};

/// A book with changes that are tried out, and the list of them. The book on the disk stays as it
/// is.
struct WhatIf {
  book::Book book;
  std::vector<Change> changes;  ///< in the order written, batches as in the plan
};

/// Tries out changes to the book of a plan, each written `BATCH.CELL=VALUE`:
///
/// BATCH is the name of a batch, as it stands in batches.yaml or in plans; `*` means every batch
/// whose protocol has the cell; `site` means the site, even where a batch is called so.
/// CELL is an input; `plants`, `sure`, `spare`, `full_trays`, `ready`, `start`; `STAGE.start`,
/// `STAGE.end` (fixes the date), `STAGE.left` (so many came through); `demand.least` and the other
/// values of a demand. Of the site: `CREW.people`, `CREW.hours`, `closed` (more closed days),
/// `LOT.count`, `MOTHERS.plants`, `FINISHED.plants`, `MIX.keeps`, `MIX.vessel`, `SUPPLY.price` and
/// what else it says of buying it, `PROTOCOL.INPUT`. VALUE is what could stand in the book, or says
/// by how much it moves from where it is in the plan: `1 week earlier`, `3 days later`, `10 %
/// less`, `20 fewer`, `2 h more`. `usual` gives up a value of its own, `free` a fixed date or
/// count.
///
/// Of two changes of one value the later counts, with a warning. Nothing when a change is wrong:
/// every mistake is reported, at a source named `--set`.
std::optional<WhatIf> what_if(const Plan& plan, const std::vector<std::string>& changes,
                              text::Sources& sources, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
