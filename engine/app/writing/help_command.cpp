#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "manual/manual.hpp"
#include "text/text.hpp"

namespace budwood::app {

namespace {

std::string all_topics() {
  std::string out =
      "Topics: a statement of the language (`lasts`), a code of a finding\n"
      "(`unit-mismatch`), or one of these:\n\n";
  for (const manual::Heading& one : manual::headings()) {
    if (one.level <= 2) out += std::string(one.level == 1 ? 0 : 2, ' ') + one.text + "\n";
  }
  return out;
}

int run_help(const std::vector<std::string>& words) {
  std::string topic;
  for (const std::string& word : words) topic += (topic.empty() ? "" : " ") + word;
  const std::string text = topic.empty() ? all_topics() : manual::look_up(topic);
  if (text.empty()) {
    const std::string near = manual::nearest_topic(topic);
    complain(
        "There is nothing on `" + topic + "`. " +
        (near.empty() ? "`budwood help` lists what there is." : "Did you mean `" + near + "`?"));
    return exit_misuse;
  }
  const bool written = write_result({}, [&](std::ostream& out) { out << text; });
  return written ? exit_fine : exit_faults;
}

}  // namespace

Command add_help(CLI::App& program) {
  CLI::App* words = program.add_subcommand(
      "help", "What the references say of a statement, of a message's code, of a topic");
  const auto topic = std::make_shared<std::vector<std::string>>();
  words->add_option("TOPIC", *topic, "Such as lasts, unit-mismatch, climate; none: all there are")
      ->type_name("");
  return {words, [topic] { return run_help(*topic); }};
}

}  // namespace budwood::app
