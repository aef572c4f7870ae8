#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/commands/office_command.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "app/results/asked_books.hpp"
#include "pictures/pictures.hpp"
#include "report/results/compared_report.hpp"
#include "report/results/learned_report.hpp"
#include "report/results/numbers_report.hpp"
#include "report/results/replicates_report.hpp"
#include "report/results/results_report.hpp"
#include "results/compare.hpp"
#include "results/compare_numbers.hpp"
#include "results/learn.hpp"
#include "results/replicates.hpp"
#include "results/summary.hpp"

namespace budwood::app {

namespace {

struct ResultsArguments {
  std::vector<std::string> books;
  std::string by = "batch";
  std::string of = "take";
  std::string stage;
  std::vector<std::string> compare;
  bool compare_all = false;
  std::string course;
  int looks = 1;
  bool replicates = false;
  std::string picture;
  ResultArguments result;
};

results::Question question_of(const ResultsArguments& arguments) {
  return {*results::find_of(arguments.of), *results::find_by(arguments.by), arguments.stage};
}

std::string misuse_of_compare(const ResultsArguments& arguments,
                              const results::Question& question) {
  const bool two = !arguments.compare.empty();
  const bool takes = question.of == results::Of::take && arguments.course.empty();
  if (two && arguments.compare_all) return "Choose either --compare or --compare-all.";
  if (!two && !arguments.course.empty()) return "--course belongs to --compare.";
  if (!two && !arguments.compare_all) {
    return arguments.looks > 1 ? "--looks belongs to --compare." : "";
  }
  if (two && arguments.compare[0] == arguments.compare[1]) {
    return "--compare wants two different groups.";
  }
  if (arguments.compare_all && !takes) return "--compare-all is about takes: leave --of out.";
  if (!takes && arguments.looks > 1) return "--looks is about takes: leave it out.";
  if (!arguments.course.empty() && question.of != results::Of::take) {
    return "--course is about counts: leave --of out.";
  }
  if (arguments.result.is_picture() || arguments.result.is_workbook()) {
    return "A comparison is told as a table, CSV or JSON.";
  }
  return "";
}

std::string misuse(const ResultsArguments& arguments, const results::Question& question) {
  if (std::string words = results::misuse_of(question); !words.empty()) return words;
  if (std::string words = office_misuse(arguments.result, false); !words.empty()) return words;
  if (!arguments.picture.empty()) {
    if (!arguments.result.is_picture()) return "--picture belongs to --format svg.";
    if (question.of != results::Of::take) return "--picture is about takes: leave --of out.";
  }
  if (arguments.replicates) {
    const bool compares = !arguments.compare.empty() || arguments.compare_all;
    if (compares) return "--replicates and --compare ask different things.";
    if (arguments.result.is_picture() || arguments.result.is_workbook()) {
      return "Tests of seed are told as a table, CSV or JSON.";
    }
  }
  return misuse_of_compare(arguments, question);
}

/// What is asked for by name and is not there; "" when all is.
std::string unknown_stage(const AskedBooks& books, const std::string& stage) {
  if (stage.empty()) return "";
  std::vector<std::string> names;
  for (const results::Asked& one : books.asked) {
    for (const plan::BatchPlan& batch : one.plan->batches) {
      for (const language::Stage& known : one.plan->protocol_of(batch).stages) {
        if (known.name == stage) return "";
        names.push_back(known.name);
      }
    }
  }
  const std::string advice = text::did_you_mean(stage, names);
  return "No batch has a stage `" + stage + "`." + (advice.empty() ? "" : " " + advice);
}

std::vector<std::string> known_groups(const AskedBooks& books, const results::Question& question) {
  if (question.of == results::Of::take) {
    return results::groups_with_counts(books.asked, question);
  }
  std::vector<std::string> out;
  for (const results::Row& row : results::summarise(books.asked, question).rows) {
    out.push_back(row.group);
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

std::string unknown_group(const AskedBooks& books, const results::Question& question,
                          const std::vector<std::string>& wanted) {
  const std::vector<std::string> groups = known_groups(books, question);
  for (const std::string& one : wanted) {
    if (std::find(groups.begin(), groups.end(), one) != groups.end()) continue;
    std::string advice = text::did_you_mean(one, groups);
    if (advice.empty() && !groups.empty()) {
      advice = "There is " + text::list_words(groups, "and") + ".";
    }
    return "Nothing was noted of `" + one + "` by " + std::string(word(question.by)) + "." +
           (advice.empty() ? "" : " " + advice);
  }
  return "";
}

void tell_left_out(const results::Summary& summary, text::Diagnostics& diagnostics) {
  for (const results::LeftOut& one : summary.left_out) {
    diagnostics.warning("count-left-out", {}, "Batch `" + one.batch + "`, " + one.message);
  }
}

void tell_below(AskedBooks& books) {
  for (const auto& planned : books.planned) {
    for (const results::BelowExpectation& one : results::below_expectation(planned->plan)) {
      report::tell_below(one, planned->diagnostics);
    }
  }
}

/// The pictures that can be asked for; without a word rows of dots.
constexpr std::array picture_words{"rows", "time", "survival", "germination"};

void draw(std::ostream& out, const std::string& picture, const AskedBooks& books,
          const results::Question& question, const results::Summary& summary) {
  if (picture == "time") {
    pictures::write_results_over_time(out, summary);
  } else if (picture == "survival" || picture == "germination") {
    const auto what =
        picture == "survival" ? results::CurveOf::survival : results::CurveOf::germination;
    pictures::write_curves_picture(out, results::curves_of(books.asked, question, what),
                                   summary.books, what);
  } else {
    pictures::write_results_picture(out, summary);
  }
}

int show(const ResultsArguments& arguments, const results::Question& question, AskedBooks& books) {
  const results::Summary summary = results::summarise(books.asked, question);
  const ResultArguments& result = arguments.result;
  bool written = false;
  if (result.is_workbook()) {
    written = write_workbook(result, office::results_workbook(*books.asked.front().plan, summary));
  } else {
    written = write_result(result.file, [&](std::ostream& out) {
      if (result.is_picture()) {
        draw(out, arguments.picture, books, question, summary);
      } else {
        report::write_results(out, summary, result.chosen(), output_style(!result.file.empty()));
      }
    });
  }
  tell_left_out(summary, books.planned.front()->diagnostics);
  if (summary.rows.empty()) note_nothing(books);
  if (question.of == results::Of::take) tell_below(books);
  return finish_all(books, written);
}

int show_replicates(const ResultsArguments& arguments, AskedBooks& books) {
  results::Summary left_out;
  const auto tests = results::seed_tests(books.asked, arguments.stage, left_out.left_out);
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_replicates(out, tests, arguments.result.chosen(),
                             output_style(!arguments.result.file.empty()));
  });
  text::Diagnostics& diagnostics = books.planned.front()->diagnostics;
  tell_left_out(left_out, diagnostics);
  if (tests.empty()) {
    diagnostics.note("no-results", {}, "No stage was counted in two or four trays of 100 seeds.",
                     "Note them tray by tray: budwood record BOOK \"A27-003/sowing counted 81 of "
                     "100 in tray 1\"");
  }
  return finish_all(books, written);
}

/// Every two of the groups that have counts.
std::vector<results::NamedPair> pairs_of(const AskedBooks& books, const results::Question& question,
                                         const ResultsArguments& arguments) {
  if (!arguments.compare_all) return {{arguments.compare[0], arguments.compare[1]}};
  const auto groups = results::groups_with_counts(books.asked, question);
  std::vector<results::NamedPair> out;
  for (std::size_t i = 0; i < groups.size(); ++i) {
    for (std::size_t j = i + 1; j < groups.size(); ++j) out.emplace_back(groups[i], groups[j]);
  }
  return out;
}

int show_compared(const ResultsArguments& arguments, const results::Question& question,
                  AskedBooks& books) {
  std::vector<results::Together> together;
  if (arguments.compare_all) together = results::compare_together(books.asked, question);
  const auto compared = results::compare(books.asked, question,
                                         pairs_of(books, question, arguments), arguments.looks);
  if (compared.empty()) note_nothing(books);
  tell_left_out(results::summarise(books.asked, question), books.planned.front()->diagnostics);
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_compared(out, together, compared, arguments.result.chosen(),
                           output_style(!arguments.result.file.empty()));
  });
  return finish_all(books, written);
}

/// Rates, days, costs, and what happened day by day.
int show_numbers(const ResultsArguments& arguments, const results::Question& question,
                 AskedBooks& books) {
  const results::NamedPair pair{arguments.compare[0], arguments.compare[1]};
  const auto curve =
      arguments.course == "survival" ? results::CurveOf::survival : results::CurveOf::germination;
  const auto compared = arguments.course.empty()
                            ? results::compare_numbers(books.asked, question, pair)
                            : results::compare_courses(books.asked, question, pair, curve);
  const report::Compare what = arguments.course == "survival"      ? report::Compare::survival
                               : arguments.course == "germination" ? report::Compare::germination
                               : question.of == results::Of::rate  ? report::Compare::rate
                               : question.of == results::Of::days  ? report::Compare::days
                                                                   : report::Compare::cost;
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_numbers(out, compared, what, arguments.result.chosen(),
                          output_style(!arguments.result.file.empty()));
  });
  return finish_all(books, written);
}

int run_results(const ResultsArguments& arguments) {
  const results::Question question = question_of(arguments);
  std::string words = misuse(arguments, question);
  if (words.empty()) {
    AskedBooks books = read_books(arguments.books);
    if (books.asked.empty()) return finish_all(books, false);
    if (!books.problem.empty()) return refuse(books);
    words = unknown_stage(books, arguments.stage);
    if (words.empty() && !arguments.compare.empty()) {
      words = unknown_group(books, question, arguments.compare);
    }
    if (words.empty() && arguments.replicates) return show_replicates(arguments, books);
    if (words.empty()) {
      const bool numbers = question.of != results::Of::take || !arguments.course.empty();
      if (arguments.compare.empty() && !arguments.compare_all) {
        return show(arguments, question, books);
      }
      return numbers ? show_numbers(arguments, question, books)
                     : show_compared(arguments, question, books);
    }
    finish_all(books, false);
  }
  complain(words);
  return exit_misuse;
}

std::string check_by(const std::string& word) {
  if (results::find_by(word)) return {};
  return "`" + word + "` is nothing to group by; choose " +
         text::list_words(results::by_words(), "or") + ".";
}

std::string check_of(const std::string& word) {
  if (results::find_of(word)) return {};
  return "`" + word + "` is no kind of result; choose " +
         text::list_words(results::of_words(), "or") + ".";
}

std::string check_course(const std::string& word) {
  if (word == "survival" || word == "germination") return {};
  return "`" + word + "` is no course; choose survival or germination.";
}

std::string check_picture(const std::string& word) {
  const std::vector<std::string> words(picture_words.begin(), picture_words.end());
  if (std::find(words.begin(), words.end(), word) != words.end()) return {};
  return "`" + word + "` is no picture of results; choose " + text::list_words(words, "or") + ".";
}

}  // namespace

Command add_results(CLI::App& program) {
  const auto arguments = std::make_shared<ResultsArguments>();
  CLI::App* words = program.add_subcommand(
      "results", "What came of batches: takes with their intervals, rates of work, days, costs");
  words->add_option("BOOK", arguments->books, "Folders of books; the current one unless told");
  words
      ->add_option("--by", arguments->by, "Group by " + text::list_words(results::by_words(), "or"))
      ->type_name("WHAT")
      ->check(check_by);
  words->add_option("--of", arguments->of, "Tell " + text::list_words(results::of_words(), "or"))
      ->type_name("WHAT")
      ->check(check_of);
  words->add_option("--stage", arguments->stage, "Only this stage")->type_name("STAGE");
  words
      ->add_option(
          "--compare", arguments->compare,
          "Hold two groups against each other: which took better (with --of which was faster, took "
          "longer, cost more), and is it more than luck")
      ->type_name("GROUP GROUP")
      ->expected(2);
  words->add_flag("--compare-all", arguments->compare_all,
                  "Hold all groups against each other, together and two by two");
  words
      ->add_option("--course", arguments->course,
                   "With --compare: whether plants were lost, or came up, sooner in one of the two")
      ->type_name("survival|germination")
      ->check(check_course);
  words
      ->add_option("--looks", arguments->looks,
                   "How often a running trial was looked at, this time included")
      ->type_name("NUMBER")
      ->check(CLI::Range(1, 100));
  words
      ->add_option(
          "--picture", arguments->picture,
          "With --format svg: rows, over time, or what was alive or had come up day by day")
      ->type_name("rows|time|survival|germination")
      ->check(check_picture);
  words->add_flag("--replicates", arguments->replicates,
                  "Judge tests of two or four times 100 seeds by the tables of tolerance");
  arguments->result.add_to(*words, {{"svg", "for a picture"}, spreadsheet_format});
  return {words, [arguments] { return run_results(*arguments); }};
}

}  // namespace budwood::app
