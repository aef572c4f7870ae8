#pragma once

#include <vector>

#include "sheet/template/template.hpp"

namespace budwood::report {

/// What a cell is in its protocol, as far as the engine has made it.
struct CellRole {
  enum class Kind : std::uint8_t {
    other,     ///< a name or setting that stands for what is written
    plants,    ///< at the start of a stage
    left,      ///< at its end
    needed,    ///< of a chain, at its end
    loss,      ///< a share
    survival,  ///< what a loss leaves
    kept,      ///< the share of it that goes on, of what is picked and sorted
    picked,    ///< plants; `use` says which picking
    handled,   ///< the same in whole plants
    grade,     ///< plants; `use` says which
    days,      ///< from the start of a stage to its end
    length,    ///< of a stage, a wait or a limit: whole days
    hours,     ///< of a stage
    all_hours,
    work_time,  ///< each time
    times,
    amount,  ///< of a supply, each time
    good,    ///< of a count behind a share
    seen,
    batches,   ///< in which they were seen
    likeness,  ///< of two plants of a batch
  };
  Kind kind = Kind::other;
  language::StageId stage{};
  language::WorkId work{};
  std::size_t use = 0;
  std::size_t chain = 0;  ///< of the plants, what is left and what is needed
};

/// By cell.
std::vector<CellRole> roles_of(const sheet::Template& t);

}  // namespace budwood::report
