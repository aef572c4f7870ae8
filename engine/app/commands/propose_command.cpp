#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "plan/level/level.hpp"
#include "plan/level/make_up.hpp"
#include "plan/level/propose.hpp"
#include "report/orders/make_up_words.hpp"

namespace budwood::app {

namespace {

struct ProposeArguments {
  BookArguments book;
  std::string demand;
  std::string make_up;  ///< a batch

  std::string misuse() const {
    if (demand.empty() == make_up.empty()) {
      return "Say either what is wanted, with --demand FILE, or which batch comes short, with "
             "--make-up BATCH.";
    }
    return "";
  }
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

/// What to say when there is no such batch to make up for; "" when there is.
std::string unknown_batch(const std::string& wanted, const plan::Plan& plan) {
  std::vector<std::string> names;
  for (const plan::BatchPlan& batch : plan.batches) {
    const book::Batch& facts = plan.facts_of(batch);
    names.push_back(facts.id.value);
    if (!facts.split_from.empty()) names.push_back(facts.split_from);
  }
  if (wanted.empty() || std::find(names.begin(), names.end(), wanted) != names.end()) return "";
  const std::string advice = text::did_you_mean(wanted, names);
  return "There is no batch `" + text::shortened(wanted) + "` with a plan." +
         (advice.empty() ? "" : " " + advice);
}

/// What would fill the place of plants that a batch, or a cultivar of it, comes short of.
std::vector<book::Batch> demand_to_make_up(const std::string& wanted, PlannedBook& planned) {
  std::vector<book::Batch> out;
  bool short_of_any = false;
  for (const plan::BatchPlan& batch : planned.plan.batches) {
    const book::Batch& facts = planned.plan.facts_of(batch);
    if (facts.id.value != wanted && facts.split_from != wanted) continue;
    const std::int64_t plants = plan::missing_plants(planned.plan, batch);
    if (plants == 0) continue;
    short_of_any = true;
    if (auto one = plan::make_up_batch(planned.plan, batch, plants)) out.push_back(std::move(*one));
  }
  if (!short_of_any) {
    planned.diagnostics.note("nothing-missing", {},
                             "By what was counted batch `" + wanted + "` is not short of plants.");
  } else if (out.empty()) {
    planned.diagnostics.error("no-place", {},
                              "No batch begun now could make up for `" + wanted + "`.",
                              "`budwood plan` says what keeps it from having dates.");
  }
  return out;
}

/// What a proposed batch takes, as remarks above it.
std::string outline(const plan::Plan& plan, const std::string& id) {
  std::string out;
  for (const plan::BatchPlan& batch : plan.batches) {
    if (plan.facts_of(batch).id.value != id || !batch.dated) continue;
    for (const std::string& line : report::outline_of(plan, batch)) out += "  # " + line + "\n";
  }
  return out;
}

int propose_batches(const ProposeArguments& arguments, PlannedBook& planned) {
  const std::vector<book::Batch> demand =
      arguments.make_up.empty()
          ? book::read_demand(arguments.demand, *planned.book, planned.sources, planned.diagnostics)
          : demand_to_make_up(arguments.make_up, planned);
  if (demand.empty()) return finish(planned, false);
  plan::LevelOptions options;
  options.rounds = static_cast<std::uint64_t>(arguments.rounds);
  options.seed = static_cast<std::uint64_t>(arguments.seed);
  const plan::Proposal found = plan::propose(*planned.book, demand, options, planned.diagnostics);
  // What a batch takes is told from a plan with all of them.
  book::Book with = *planned.book;
  for (const plan::ProposedBatch& one : found.batches) with.batches.push_back(one.batch);
  text::Diagnostics told;
  const plan::Plan plan = plan::make_plan(with, told);
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    out << "# For batches.yaml, below `batches:`.\n";
    for (const plan::ProposedBatch& one : found.batches) {
      if (!arguments.make_up.empty()) out << outline(plan, one.batch.id.value);
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
  arguments->book.library = book::LibraryPart::whole;  // what is wanted names any of it
  words
      ->add_option("--demand", arguments->demand,
                   "What is wanted, written like batches.yaml: series too")
      ->type_name("FILE");
  words
      ->add_option("--make-up", arguments->make_up,
                   "Instead: a batch for the plants that this one comes short of")
      ->type_name("BATCH");
  words->add_option("--rounds", arguments->rounds, "Look for better dates for so many rounds")
      ->type_name("N")
      ->check(CLI::Range(std::int64_t{0}, std::int64_t{1'000'000'000}));
  words->add_option("--seed", arguments->seed, "Look in another order")
      ->type_name("N")
      ->check(CLI::Range(std::int64_t{0}, std::int64_t{1'000'000'000}));
  words->add_option("--out", arguments->file, "Write to this file")->type_name("FILE");
  return {words, [arguments] {
            return run_on_book(
                arguments->book, arguments->misuse(),
                [&](const plan::Plan& plan) { return unknown_batch(arguments->make_up, plan); },
                [&](PlannedBook& planned) { return propose_batches(*arguments, planned); });
          }};
}

}  // namespace budwood::app
