#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "plan/level/level.hpp"
#include "plan/level/propose.hpp"

namespace budwood::app {

namespace {

struct ProposeArguments {
  BookArguments book;
  std::string demand;
  std::int64_t rounds = 300;
  std::int64_t seed = 1;
  std::string file;
};

std::string remark(const plan::ProposedBatch& one) {
  const calendar::Day ready = one.batch.ready ? one.batch.ready->value : one.asked;
  std::string out = "  # starts on " + calendar::short_date(one.starts);
  if (one.asked == 0 || ready == one.asked) return out + "\n";
  return out + ", ready " + calendar::days_text(std::abs(ready - one.asked)) +
         (ready < one.asked ? " earlier" : " later") + " than asked\n";
}

int propose_batches(const ProposeArguments& arguments, PlannedBook& planned) {
  const std::vector<book::Batch> demand =
      book::read_demand(arguments.demand, *planned.book, planned.sources, planned.diagnostics);
  if (demand.empty()) return finish(planned, false);
  plan::LevelOptions options;
  options.rounds = static_cast<std::uint64_t>(arguments.rounds);
  options.seed = static_cast<std::uint64_t>(arguments.seed);
  const plan::Proposal found = plan::propose(*planned.book, demand, options, planned.diagnostics);
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    out << "# For batches.yaml, below `batches:`.\n";
    for (const plan::ProposedBatch& one : found.batches) {
      out << remark(one) << book::batch_yaml(one.batch);
    }
  });
  for (const plan::Unresolved& one : found.unmet) {
    text::Diagnostic d;
    d.code = "no-place";
    d.message = "Batch `" + one.batch + "` finds no place, nor do parts of it.";
    for (const std::string& text : one.short_of) d.related.push_back({{}, text + "."});
    for (const std::string& text : one.reliefs) {
      d.related.push_back({{}, "This would help: " + text});
    }
    planned.diagnostics.add(std::move(d));
  }
  return finish(planned, written);
}

}  // namespace

Command add_propose(CLI::App& program) {
  const auto arguments = std::make_shared<ProposeArguments>();
  CLI::App* words = program.add_subcommand(
      "propose", "Batches for a demand, where the season has room and hands for them");
  arguments->book.add_to(*words);
  words
      ->add_option("--demand", arguments->demand,
                   "What is wanted, written like batches.yaml: series too")
      ->type_name("FILE")
      ->required();
  words->add_option("--rounds", arguments->rounds, "Look for better dates for so many rounds")
      ->type_name("N")
      ->check(CLI::Range(std::int64_t{0}, std::int64_t{1'000'000'000}));
  words->add_option("--seed", arguments->seed, "Look in another order")
      ->type_name("N")
      ->check(CLI::Range(std::int64_t{0}, std::int64_t{1'000'000'000}));
  words->add_option("--out", arguments->file, "Write to this file")->type_name("FILE");
  return {words, [arguments] {
            return run_on_book(arguments->book, "", [&](PlannedBook& planned) {
              return propose_batches(*arguments, planned);
            });
          }};
}

}  // namespace budwood::app
