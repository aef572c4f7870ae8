#include <map>
#include <set>

#include "../golden.hpp"
#include "language/language.hpp"
#include "language/model.hpp"
#include "language/rules/rules.hpp"
#include "sample.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

/// The rules of good practice that ship. Beside this file stands for each rule a protocol that
/// breaks it, the same one with the rule kept, and what is printed for the two.
using namespace budwood;
using namespace budwood::sheet::test;

namespace {

namespace fs = std::filesystem;
using text::Severity;

const fs::path folder = BUDWOOD_GOOD_PRACTICE_TESTS;

/// The rule set as it ships, read once.
class Shipped {
 public:
  static const language::RuleSet& set() {
    static const Shipped shipped;
    return shipped.document_.rule_sets.front();
  }
  static std::string code(const std::string& rule) { return set().name + "." + rule; }

 private:
  Shipped() {
    text::Diagnostics diagnostics;
    const fs::path file = BUDWOOD_GOOD_PRACTICE;
    const text::Source& source =
        sources_.add(file.filename().string(), budwood::tests::content_of(file));
    document_ = language::read(source, diagnostics);
    const std::string problems = listed(diagnostics);
    INFO(problems);
    REQUIRE(diagnostics.empty());
    REQUIRE(document_.rule_sets.size() == 1);
  }

  text::Sources sources_;
  language::Document document_;
};

/// What is found when the protocols of a text are tried out with the shipped rules.
class Trial {
 public:
  Trial(const std::string& name, const std::string& content) {
    const text::Source& source = sources_.add(name, content);
    text::Diagnostics reading;
    std::vector<language::Protocol> protocols = language::read(source, reading).protocols;
    keep(reading, "");
    for (language::Protocol& protocol : protocols) {
      text::Diagnostics diagnostics;
      const std::string of = protocol.name;
      language::follow(protocol, {&Shipped::set()}, diagnostics);
      const auto t = sheet::compile(std::move(protocol), diagnostics);
      if (t != nullptr) sheet::try_out(t, diagnostics);
      keep(diagnostics, of);
    }
    const std::string problems = listed(reading);
    INFO(problems);
    REQUIRE_FALSE(protocols.empty());
  }

  /// What was found in one protocol.
  std::vector<text::Diagnostic> found(const std::string& protocol) const {
    const auto at = found_.find(protocol);
    return at == found_.end() ? std::vector<text::Diagnostic>() : at->second;
  }

  /// The codes of all that was found, in order.
  std::vector<std::string> codes() const {
    std::vector<std::string> out;
    for (const text::Diagnostic& d : all_.sorted()) out.push_back(d.code);
    return out;
  }

  std::string printed() const {
    std::ostringstream out;
    text::print(out, all_, text::Colour::never);
    return out.str();
  }

 private:
  /// Without the places of the rules, which move with every edit of the set.
  void keep(const text::Diagnostics& diagnostics, const std::string& protocol) {
    for (text::Diagnostic d : diagnostics.sorted()) {
      std::erase_if(d.related, [&](const text::Related& related) {
        return related.span.source != d.span.source;
      });
      all_.add(d);
      found_[protocol].push_back(std::move(d));
    }
  }

  text::Sources sources_;
  text::Diagnostics all_;
  std::map<std::string, std::vector<text::Diagnostic>> found_;
};

/// How a rule reports what it finds: an error where it requires, a warning where it advises.
std::set<Severity> severities(const std::vector<language::syntax::Requirement>& requirements,
                              const std::vector<language::syntax::ForEach>& loops) {
  std::set<Severity> out;
  for (const auto& one : requirements) out.insert(one.advice ? Severity::warning : Severity::error);
  for (const auto& loop : loops) out.merge(severities(loop.requirements, loop.inner));
  return out;
}

std::set<std::string> stems(const std::string& ending) {
  std::set<std::string> out;
  for (const fs::path& path : budwood::tests::files_in(folder, ending))
    out.insert(path.stem().string());
  return out;
}

/// The protocol that breaks a rule, with a statement put in at its beginning.
std::string with_statement(std::string content, const std::string& statement) {
  const std::size_t head = content.find("protocol breaks ");
  REQUIRE(head != std::string::npos);
  return content.insert(content.find('\n', head) + 1, "  " + statement + "\n");
}

using Codes = std::vector<std::string>;

}  // namespace

TEST_CASE("good practice: every rule says why and where from, and has its protocols") {
  const std::vector<language::syntax::Rule>& rules = Shipped::set().rules;
  CHECK(rules.size() >= 20);
  std::set<std::string> names;
  for (const auto& rule : rules) {
    CAPTURE(rule.name.text);
    CHECK(rule.title);
    CHECK_FALSE(rule.notes.empty());
    CHECK_FALSE(rule.sources.empty());
    for (const auto& note : rule.notes) CHECK_FALSE(note.value.empty());
    for (const auto& source : rule.sources) CHECK_FALSE(source.value.empty());
    names.insert(rule.name.text);
  }
  CHECK(stems(".bud") == names);
  CHECK(stems(".expected") == names);
}

TEST_CASE("golden: each shipped rule finds what breaks it, and nothing in what keeps it") {
  for (const auto& rule : Shipped::set().rules) {
    CAPTURE(rule.name.text);
    const fs::path path = folder / (rule.name.text + ".bud");
    const Trial trial(path.filename().string(), budwood::tests::content_of(path));
    const std::set<Severity> own = severities(rule.requirements, rule.loops);
    CHECK_FALSE(trial.found("breaks").empty());
    for (const text::Diagnostic& d : trial.found("breaks")) {
      CHECK(d.code == Shipped::code(rule.name.text));
      CHECK(own.count(d.severity) == 1);
    }
    CHECK(trial.found("keeps").empty());
    budwood::tests::check_printed(path, trial.printed());
  }
}

TEST_CASE("good practice: a waiver turns what a rule finds into a note that gives the reason") {
  const std::string reason = "the head propagator sleeps beside the bench";
  for (const auto& rule : Shipped::set().rules) {
    const std::string code = Shipped::code(rule.name.text);
    for (const std::string& name : {rule.name.text, code}) {
      CAPTURE(name);
      const fs::path path = folder / (rule.name.text + ".bud");
      const Trial trial(path.filename().string(),
                        with_statement(budwood::tests::content_of(path),
                                       "waive " + name + " \"" + reason + "\""));
      CHECK_FALSE(trial.found("breaks").empty());
      for (const text::Diagnostic& d : trial.found("breaks")) {
        CHECK(d.code == code);
        CHECK(d.severity == Severity::note);
        CHECK(d.message.find(reason) != std::string::npos);
      }
    }
  }
}

// Common practice, no published source: mist ends little by little over about a week.
namespace {

/// Cuttings that go from mist to the open bench. 20 s every 45 min round the clock is 24 h / 45 min
/// = 32 pulses and 32 * 20 s = 640 s a day.
Codes found_at_end_of_mist(const std::string& mist, const std::string& first_day) {
  const Trial trial("mist.bud", R"(
protocol misted "Gardenia, tip cuttings under mist" {
  part cutting
  stage rooting of cutting "Under mist" {
    lasts 4 weeks
    )" + mist + R"(
    do "Look at mist and leaves" daily { tagged watch }
  }
  stage bench of cutting "Open bench" {
    lasts 3 weeks
    do "Water by hand" daily
  }
  require )" + first_day + R"( else "It is another mist."
})");
  return trial.codes();
}

const std::string mist_of_day =
    "rooting.mist_pulses.first = 32 and rooting.mist_time.first = 640 s";

}  // namespace

TEST_CASE("common practice: from mist to the open bench in one step is reported") {
  CHECK(found_at_end_of_mist("mist 20 s every 45 min", mist_of_day) ==
        Codes{"good_practice.mist_end"});
  CHECK(found_at_end_of_mist("mist 20 s every 45 min until day 20", mist_of_day) ==
        Codes{"good_practice.mist_stops"});
  // A shorter pulse is no longer interval.
  CHECK(found_at_end_of_mist("mist 20 s every 45 min until day 21\n"
                             "mist 15 s every 45 min from day 22",
                             mist_of_day) == Codes{"good_practice.mist_end"});
}

TEST_CASE("common practice: mist whose interval grows over a week is not reported") {
  CHECK(found_at_end_of_mist("mist 20 s every 45 min until day 21\n"
                             "taper mist every 45 min to 6 h from day 22 to last day",
                             mist_of_day) == Codes{});
  // Eight pulses on the last day are few enough, twelve are not.
  CHECK(found_at_end_of_mist("mist 20 s every 45 min until day 21\n"
                             "taper mist every 45 min to 3 h from day 22 to last day",
                             mist_of_day) == Codes{});
  CHECK(found_at_end_of_mist("mist 20 s every 45 min until day 21\n"
                             "taper mist every 45 min to 2 h from day 22 to last day",
                             mist_of_day) == Codes{"good_practice.mist_end"});
}

TEST_CASE("common practice: pulses and time of the mist are those of a whole day") {
  const std::string tapered =
      "mist 20 s every 45 min until day 21\n"
      "taper mist every 45 min to 6 h from day 22 to last day";
  CHECK(found_at_end_of_mist(tapered, "rooting.mist_pulses.first = 31") == Codes{"requirement"});
  CHECK(found_at_end_of_mist(tapered, "rooting.mist_time.first = 639 s") == Codes{"requirement"});
  CHECK(found_at_end_of_mist(tapered,
                             "rooting.mist_pulses.last = 4 and "
                             "rooting.mist_time.last = 80 s") == Codes{});
}
