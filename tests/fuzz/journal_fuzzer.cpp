#include "files/journal.hpp"
#include "fuzzing.hpp"

/// Any bytes as what an interrupted run left: nothing outside the folder is ever replaced by it,
/// and what is read is written as it was.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const std::string input = fuzz::bytes_of(data, size);
  const auto journal = files::read_journal(input);
  fuzz::accepted = journal.has_value();
  if (!journal) return 0;
  for (const files::Step& step : journal->steps) {
    fuzz::must(step.target.is_relative() && step.fresh.is_relative() && step.before.is_relative(),
               "a journal that names absolute paths");
    fuzz::must(!step.replaces || !step.target.has_parent_path(),
               "a journal that leaves its folder");
  }
  const std::string written = files::journal_text(*journal);
  const auto again = files::read_journal(written);
  fuzz::must(again.has_value() && files::journal_text(*again) == written,
             "a journal that is another when written");
  return 0;
}
