/// Batches for a demand: successive ones, split where one would not find room and hands.
#pragma once

#include <string>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "plan/level/level.hpp"

namespace budwood::plan {

/// A batch that would meet a part of the demand.
struct ProposedBatch {
  book::Batch batch;        ///< ready on the day that was found for it
  calendar::Day asked = 0;  ///< when it was to be ready
  calendar::Day starts = 0;
};

struct Proposal {
  std::vector<ProposedBatch> batches;  ///< as the demand, parts behind each other
  std::vector<Unresolved> unmet;       ///< what finds no place even in parts
};

/// Into how many batches one is split at most.
inline constexpr int most_parts_of_batch = 6;

/// Finds batches for a demand beside the batches of the book, none of which moves. What is wanted
/// is given as batches, each with the day on which it is to be ready and how far it may move. One
/// that finds no place is tried as two, three and more of equal size.
Proposal propose(const book::Book& book, const std::vector<book::Batch>& demand,
                 const LevelOptions& options, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
