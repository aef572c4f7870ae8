/// What results are grouped by. Private to this module.
#pragma once

#include <string>
#include <vector>

#include "results/outcomes.hpp"
#include "results/summary.hpp"

namespace budwood::results {

/// What a result belongs to, whatever kind of result it is.
struct Belongs {
  std::uint32_t batch = 0;
  language::StageId stage;
  std::string tray, person;
  calendar::Day began = 0;
};

/// The groups into which it falls: one, or one a lot.
std::vector<std::string> groups_of(const plan::Plan& plan, const Belongs& what, By by);

/// A batch as growers call it: all arms of a trial are one.
const std::string& whole_name(const book::Batch& batch);
/// The same, of one of several books.
std::string whole_batch(const plan::Plan& plan, std::size_t book, std::uint32_t batch);
/// The block within which a tray was drawn: that of its trial, else the batch.
std::string block_of(const plan::Plan& plan, std::size_t book, std::uint32_t batch,
                     const std::string& tray);

/// The trial of a batch when it was changed after its trays were drawn; "" otherwise.
std::string changed_trial(const plan::Plan& plan, std::uint32_t batch);

/// The block of each unit of two sides, for a test by lot. Blocks that have both sides hold their
/// own; where none has, all units are one block.
struct BlockedUnit {
  std::string block;
  bool is_first = false;
};
std::vector<int> numbered_blocks(const std::vector<BlockedUnit>& units);

/// What a stage is called on paper: its title, else its name.
const std::string& title_of(const language::Stage& stage);

/// "bench_graft" of a batch that follows "bench_graft.splice".
std::string method_of(const plan::Plan& plan, std::uint32_t batch);

}  // namespace budwood::results
