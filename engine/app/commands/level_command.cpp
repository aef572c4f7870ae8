#include "app/commands/level_command.hpp"

#include <unistd.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <csignal>
#include <iostream>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "pictures/pictures.hpp"
#include "plan/rooms/load.hpp"
#include "units/units.hpp"

namespace budwood::app {

namespace {

constexpr std::uint64_t usual_rounds = 10'000;
/// With a time to fill, rounds are no limit.
constexpr std::uint64_t any_rounds = UINT64_MAX;
constexpr double longest = 86400;
constexpr std::int64_t most_rounds = 1'000'000'000;

/// Seconds; nothing when it is no time of more than nothing and at most a day.
std::optional<double> seconds_in(const std::string& text) {
  const auto parsed = units::parse_quantity(text);
  if (!parsed) return std::nullopt;
  const bool time = parsed->has_unit && parsed->unit.dimension == units::find_unit("s")->dimension;
  if (parsed->has_unit && !time) return std::nullopt;
  const double seconds = parsed->has_unit ? parsed->base() : parsed->value;
  if (!(seconds > 0 && seconds <= longest)) return std::nullopt;
  return seconds;
}

std::atomic<bool> interrupted = false;

/// While it lives, an interrupt ends the search and not the program; a second one ends that too.
class Interruptible {
 public:
  Interruptible() {
    interrupted = false;
    before_ = std::signal(SIGINT, [](int) {
      interrupted = true;
      std::signal(SIGINT, SIG_DFL);
    });
  }
  ~Interruptible() { std::signal(SIGINT, before_); }
  Interruptible(const Interruptible&) = delete;
  Interruptible& operator=(const Interruptible&) = delete;

 private:
  void (*before_)(int) = nullptr;
};

/// A line on the terminal that is written over.
void show(const levelling::Progress& progress) {
  std::cerr << "\rround " << progress.rounds << ": " << progress.standing->unplaced
            << " without a place (times priority), "
            << (progress.standing->costs.empty() ? 0 : progress.standing->costs[0])
            << " days late, "
            << (progress.standing->costs.empty() ? 0 : progress.standing->costs[1])
            << " days moved   " << std::flush;
}

plan::LevelOptions options_of(const LevelArguments& arguments) {
  plan::LevelOptions out;
  out.frozen = calendar::parse_iso_date(arguments.frozen);
  out.seed = static_cast<std::uint64_t>(arguments.seed);
  if (!arguments.time.empty()) out.seconds = *seconds_in(arguments.time);
  out.rounds = arguments.time.empty() ? usual_rounds : any_rounds;
  if (arguments.rounds > 0) out.rounds = static_cast<std::uint64_t>(arguments.rounds);
  const bool terminal = isatty(STDERR_FILENO) != 0;
  out.go_on = [terminal, shown = 0.0](const levelling::Progress& progress) mutable {
    constexpr double every = 0.2;
    if (terminal && progress.seconds - shown >= every) {
      shown = progress.seconds;
      show(progress);
    }
    return !interrupted.load();
  };
  return out;
}

plan::Levelling level_of(const PlannedBook& planned, const LevelArguments& arguments) {
  const Interruptible interruptible;
  plan::Levelling found = plan::level(planned.plan, options_of(arguments));
  if (isatty(STDERR_FILENO) != 0) std::cerr << "\r\033[K";
  return found;
}

}  // namespace

void LevelArguments::add_keep(CLI::App& command) {
  command.add_flag("--keep", keep, "Keep the dates that levelling chose, in levelled.yaml")
      ->needs(command.get_option("--level"));
}

void LevelArguments::add_to(CLI::App& command, const std::string& description) {
  auto* asked = command.add_flag("--level", level, description);
  command.add_option("--for", time, "Look for better dates for so long, such as \"10 s\"")
      ->type_name("TIME")
      ->needs(asked);
  command.add_option("--rounds", rounds, "Or for so many rounds; the same rounds, the same result")
      ->type_name("N")
      ->check(CLI::Range(std::int64_t{1}, most_rounds))
      ->needs(asked);
  command.add_option("--seed", seed, "Look in another order")
      ->type_name("N")
      ->check(CLI::Range(std::int64_t{0}, most_rounds))
      ->needs(asked);
  add_date(command, "--frozen", frozen, "What falls before this day stays where it is");
}

std::string misuse_of(const LevelArguments& arguments) {
  if (!arguments.frozen.empty() && !arguments.level) return "--frozen is for --level.";
  if (!arguments.time.empty() && !seconds_in(arguments.time)) {
    return "--for wants a time of at most a day, such as \"10 s\".";
  }
  return "";
}

LevelledBook::LevelledBook(const PlannedBook& planned, const LevelArguments& arguments,
                           text::Diagnostics& diagnostics)
    : found(level_of(planned, arguments)), plan(plan::make_plan(found.book, diagnostics)) {}

int run_level(const LevelArguments& arguments, const ResultArguments& result,
              PlannedBook& planned) {
  text::Diagnostics again;  // what is wrong with the book was found already
  const LevelledBook levelled(planned, arguments, again);
  const bool fits = plan::load_of(levelled.plan).fits();
  const bool written = write_result(result.file, [&](std::ostream& out) {
    if (result.is_picture()) {
      pictures::write_season(out, levelled.plan, {}, planned.book->today);
      return;
    }
    report::write_levelling(out, levelled.found, fits, result.chosen(),
                            output_style(!result.file.empty()));
  });
  bool kept = true;
  if (arguments.keep) {
    kept = replace_file(planned.book->folder / book::levelled_file, [&](std::ostream& out) {
      out << book::levelled_yaml(levelled.found.book.batches);
    });
  }
  report_conflicts_of(levelled.plan, {}, planned.diagnostics);
  const bool faults = report_problems(planned);
  return written && kept && !faults ? exit_fine : exit_faults;
}

}  // namespace budwood::app
