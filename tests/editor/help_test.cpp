// What is offered and told at a place: completion, pointing, mends, lenses.

#include "../words.hpp"
#include "editor/completion.hpp"
#include "editor/lens.hpp"
#include "editor/mends.hpp"
#include "editor/outline.hpp"
#include "editor/pointing.hpp"
#include "folder.hpp"

using namespace budwood;
using budwood::tests::has;
using namespace budwood::editor;

namespace {

/// A text in an editor, with a mark `|` where the caret is.
class Typed {
 public:
  explicit Typed(std::string text) : path_(folder_.path() / "test.bud") {
    const std::size_t mark = text.find('|');
    if (mark != std::string::npos) text.erase(mark, 1);
    workspace.open(path_, text, 1);
    document = workspace.document(path_);
    if (mark != std::string::npos) caret = document->lines().position(mark);
  }

  std::vector<std::string> offered() const {
    std::vector<std::string> out;
    for (const Completion& one : complete(workspace, *document, caret)) out.push_back(one.label);
    return out;
  }
  std::string pointed() const {
    const auto told = point_at(workspace, *document, caret);
    return told ? told->text : "";
  }
  /// The text with the likely mend of a finding.
  std::string mended(const std::string& code) const {
    for (const Finding& finding : workspace.findings(path_)) {
      if (finding.code != code) continue;
      for (const Mend& mend : mends_for(workspace, *document, {finding}, finding.range)) {
        if (mend.mends) return with(mend);
      }
    }
    return "";
  }
  std::string with(const Mend& mend) const {
    std::string text(document->text());
    for (auto edit = mend.edits.rbegin(); edit != mend.edits.rend(); ++edit) {
      const std::uint32_t begin = document->offset(edit->range.begin);
      text.replace(begin, document->offset(edit->range.end) - begin, edit->text);
    }
    return text;
  }

  Folder folder_;
  std::filesystem::path path_;
  Workspace workspace;
  SharedDocument document;
  Position caret;
};

/// A protocol with one stage that holds some lines.
std::string in_stage(const std::string& lines) {
  return "protocol x \"X\" {\n  input take = 85 %\n  supply tape \"Tape\" in m\n"
         "  supply acid \"Acid\" in mL hazard corrosive\n  part p \"P\"\n"
         "  stage rooting of p \"Rooting\" {\n    room bench\n    " +
         lines + "\n  }\n}\n";
}

/// Whether a text has no finding of this code any more.
bool clean_of(const std::string& code, const std::string& text) {
  const Typed again(text);
  for (const Finding& one : again.workspace.findings(again.path_)) {
    if (one.code == code) return false;
  }
  return !text.empty();
}

}  // namespace

TEST_CASE("completion knows the names, units and settings of its place") {
  CHECK(has(Typed(in_stage("loses |")).offered(), "take"));
  CHECK_FALSE(has(Typed(in_stage("loses |")).offered(), "tape"));
  CHECK(has(Typed(in_stage("do \"A\" at start { use 2 m |")).offered(), "tape"));
  CHECK(has(Typed(in_stage("keep |")).offered(), "humidity"));
  CHECK(has(Typed(in_stage("keep air 20 |")).offered(), "degC"));
  CHECK(has(Typed(in_stage("lasts 20 |")).offered(), "days"));
  CHECK(has(Typed(in_stage("lasts 20 d|")).offered(), "days"));
  CHECK(has(Typed(in_stage("room |")).offered(), "bench"));
  CHECK(has(Typed("protocol x {\n  supply a in L hazard |").offered(), "dust"));
  CHECK(has(Typed(in_stage("lasts 2 days\n  }\n  require rooting.|")).offered(), "left"));
  CHECK(has(Typed(in_stage("|")).offered(), "may wait"));
  CHECK(Typed(in_stage("source \"so |")).offered().empty());
}

TEST_CASE("what is pointed at is told") {
  const std::string take = Typed(in_stage("lasts 3 days\n    loses 1 - ta|ke")).pointed();
  CHECK(take.find("input take = 85 %") != std::string::npos);
  CHECK(take.find("Usually 85 %") != std::string::npos);
  CHECK(take.find("Used 1 time.") != std::string::npos);
  CHECK(Typed(in_stage("la|sts 3 days")).pointed().find("usually") != std::string::npos);
  CHECK(Typed(in_stage("keep humi|dity 90 %")).pointed().find("100 %") != std::string::npos);
  CHECK(Typed(in_stage("keep air 20 de|gC")).pointed().find("temperature") != std::string::npos);
  CHECK(Typed(in_stage("source \"so| what\"")).pointed().empty());
}

TEST_CASE("mends mend") {
  const auto mends = [](const std::string& code, const std::string& lines) {
    const Typed typed(in_stage(lines));
    const std::string text = typed.mended(code);
    CAPTURE(text);
    CHECK(clean_of(code, text));
  };
  mends("unknown-statement", "lasst 3 days");
  mends("unknown-name", "lasts 3 days\n    loses taek");
  mends("no-usual-length", "lasts 3 to 5 days");
  mends("no-usual-length", "lasts 3 days to 2 weeks");
  mends("unit-mismatch", "lasts 3 days\n    keep air 20");
  mends("unit-mismatch", "lasts 3 days\n    do \"A\" at start { rate 120 }");
  mends("no-caution", "lasts 3 days\n    do \"A\" at start { time 5 min  use 2 mL acid }");
  mends("no-caution", "lasts 3 days\n    do \"A\" at start {\n      use 2 mL acid\n    }");
  mends("unclosed-text", "lasts 3 days\n    source \"so");
}

TEST_CASE("a block that is not closed, and a name that is not declared") {
  const Typed open("protocol x \"X\" {\n  part p\n  stage s of p {\n    lasts 3 days\n");
  const std::string closed = open.mended("unclosed-block");
  CHECK(clean_of("unclosed-block", Typed(closed).mended("unclosed-block").empty()
                                       ? closed
                                       : Typed(closed).mended("unclosed-block")));
  const Typed unknown("protocol x \"X\" {\n  stage s of cutting {\n    lasts 3 days\n  }\n}\n");
  CHECK(clean_of("unknown-name", unknown.mended("unknown-name")));
}

TEST_CASE("a number becomes an input") {
  const Typed typed(in_stage("lasts 1|4 days"));
  const auto mends = mends_for(typed.workspace, *typed.document, {}, {typed.caret, typed.caret});
  REQUIRE(mends.size() == 1);
  const std::string text = typed.with(mends.front());
  CHECK(text.find("input rooting_lasts = 14 days") != std::string::npos);
  CHECK(text.find("lasts rooting_lasts\n") != std::string::npos);
}

TEST_CASE("lines above stages") {
  const Typed typed(in_stage("lasts 14 days\n    loses 1 - take"));
  const auto lines = lenses(typed.workspace, *typed.document);
  REQUIRE(lines.size() == 1);
  CAPTURE(lines[0].title);
  CHECK(lines[0].title.find("14 days") == 0);
  CHECK(lines[0].range.begin.line == 5);
}

TEST_CASE("folds and colours") {
  const Typed typed("# one\n# two\n" + in_stage("lasts 14 days"));
  const auto all = folds(*typed.document);
  REQUIRE(all.size() == 3);
  CHECK(all[0].comment);
  CHECK(all[0].last == 1);
  CHECK(all[1].first == 2);
  const auto words = colours(*typed.document);
  REQUIRE(words.size() > 10);
  CHECK(words[0].colour == Coloured::Colour::comment);
  CHECK(words[2].colour == Coloured::Colour::keyword);
}
