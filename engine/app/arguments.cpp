#include "app/arguments.hpp"

#include <CLI/CLI.hpp>

#include "calendar/calendar.hpp"
#include "record/entry.hpp"

namespace budwood::app {

namespace {

std::string check_format(const std::string& word,
                         const std::vector<ResultArguments::Extra>& extras) {
  std::vector<std::string> formats = {"table", "csv", "json"};
  for (const ResultArguments::Extra& extra : extras) formats.push_back(extra.word);
  if (std::find(formats.begin(), formats.end(), word) != formats.end()) return {};
  return "`" + word + "` is not a format; choose " + text::list_words(formats, "or") + ".";
}

std::string check_date(const std::string& word) {
  if (calendar::parse_iso_date(word)) return {};
  return "`" + word + "` is not a date from 1970 to 2199; write it like 2027-03-14.";
}

std::string check_file(const std::string& word) {
  return word.empty() ? "A file name is expected." : "";
}

std::optional<std::string> if_given(const std::string& word) {
  return word.empty() ? std::nullopt : std::optional(word);
}

}  // namespace

report::Filter FilterArguments::filter() const {
  report::Filter out;
  out.batch = if_given(batch);
  out.room = if_given(room);
  out.crew = if_given(crew);
  out.history = all;
  out.from = calendar::parse_iso_date(from);
  out.to = calendar::parse_iso_date(to);
  return out;
}

std::string FilterArguments::misuse() const {
  const report::Filter days = filter();
  if (!days.from || !days.to || *days.from <= *days.to) return "";
  return "--to " + to + " comes before --from " + from + ".";
}

void ResultArguments::add_to(CLI::App& command, const std::vector<Extra>& extras) {
  std::string words = "table for people (the default), csv or json for programs";
  for (const Extra& extra : extras) words += ", " + extra.word + " " + extra.purpose;
  command.add_option("--format", format, words)
      ->type_name("FORMAT")
      ->check([extras](const std::string& word) { return check_format(word, extras); });
  command.add_option("--out", file, "Write to this file instead of the terminal")
      ->type_name("FILE")
      ->check(check_file);
}

report::Format ResultArguments::chosen() const {
  if (format == "csv") return report::Format::csv;
  return format == "json" ? report::Format::json : report::Format::table;
}

void add_book(CLI::App& command, std::string& folder) {
  command.add_option("BOOK", folder, "Folder with site.yaml and batches.yaml; default: this one")
      ->type_name("");
}

void BookArguments::add_to(CLI::App& command) {
  add_book(command, folder);
  add_today_to(command);
}

void BookArguments::add_today_to(CLI::App& command) {
  command
      .add_option(
          "--today", today,
          "The day from which the plan goes on, or now; default: the last day of the record")
      ->type_name("DATE")
      ->check([](const std::string& word) { return word == "now" ? "" : check_date(word); });
}

std::optional<calendar::Day> BookArguments::day() const {
  return today == "now" ? record::day_now() : calendar::parse_iso_date(today);
}

void add_repeated(CLI::App& command, const std::string& name, std::vector<std::string>& values,
                  const std::string& type, const std::string& description) {
  command.add_option(name, values, description)
      ->type_name(type)
      ->expected(1)
      ->take_all()
      ->allow_extra_args(false);
}

void add_changes(CLI::App& command, std::vector<std::string>& changes) {
  add_repeated(command, "--set", changes, "BATCH.CELL=VALUE",
               "Try out a change, such as BM27-1.take=70 % or site.grafting.people=1 fewer, and "
               "show what it changes; may stand several times, * means all batches");
}

void add_date(CLI::App& command, const std::string& name, std::string& date,
              const std::string& description) {
  command.add_option(name, date, description)->type_name("DATE")->check(check_date);
}

}  // namespace budwood::app
