#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "language/language.hpp"
#include "language/model.hpp"

/// Good protocols with a few things changed at random: reading them must never crash or loop, and
/// what is printed must never fail. The seed is fixed, so a failure comes again.
namespace {

using namespace budwood;
namespace fs = std::filesystem;

std::vector<std::string> good_protocols() {
  std::vector<fs::path> paths;
  for (const auto& entry : fs::directory_iterator(fs::path(BUDWOOD_LANGUAGE_TESTS) / "accept")) {
    if (entry.path().extension() == ".bud") paths.push_back(entry.path());
  }
  std::sort(paths.begin(), paths.end());
  std::vector<std::string> out;
  for (const fs::path& path : paths) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream content;
    content << file.rdbuf();
    out.push_back(content.str());
  }
  return out;
}

class Mutator {
 public:
  explicit Mutator(std::vector<std::string> seeds) : seeds_(std::move(seeds)) {
    for (const std::string& seed : seeds_) {
      std::istringstream words(seed);
      for (std::string word; words >> word;) words_.push_back(word);
    }
  }

  std::string next() {
    std::string text = seeds_[below(seeds_.size())];
    const std::size_t changes = 1 + below(4);
    for (std::size_t i = 0; i < changes; ++i) change(text);
    return text;
  }

 private:
  std::size_t below(std::size_t n) { return n == 0 ? 0 : random_() % n; }

  /// A stretch of up to `longest` bytes.
  std::pair<std::size_t, std::size_t> stretch(const std::string& text, std::size_t longest) {
    const std::size_t begin = below(text.size());
    return {begin, std::min(text.size() - begin, 1 + below(longest))};
  }

  void change(std::string& text) {
    if (text.empty()) text = " ";
    const auto [at, length] = stretch(text, 40);
    switch (below(7)) {
      case 0:  // a byte becomes another
        text[at] = static_cast<char>(random_() & 0xFFU);
        break;
      case 1:  // a printable one
        text[at] = static_cast<char>(32 + below(95));
        break;
      case 2:
        text.erase(at, length);
        break;
      case 3:  // a word from anywhere
        text.insert(at, " " + words_[below(words_.size())] + " ");
        break;
      case 4:  // a piece twice
        text.insert(at, text.substr(at, length));
        break;
      case 5: {  // two words change places
        const std::size_t first = text.find(' ', at);
        const std::size_t second = first == std::string::npos ? first : text.find(' ', first + 1);
        if (second == std::string::npos) break;
        std::rotate(text.begin() + static_cast<std::ptrdiff_t>(at),
                    text.begin() + static_cast<std::ptrdiff_t>(first),
                    text.begin() + static_cast<std::ptrdiff_t>(second));
        break;
      }
      default:  // it ends here
        text.resize(at);
    }
  }

  std::mt19937 random_{20270314};
  std::vector<std::string> seeds_;
  std::vector<std::string> words_;
};

/// Every reference in a model leads somewhere.
void check_sound(const language::Protocol& protocol) {
  const auto below = [](std::int32_t index, std::size_t size) {
    return index >= 0 && static_cast<std::size_t>(index) < size;
  };
  for (std::size_t i = 0; i < protocol.nodes.size(); ++i) {
    const language::Node& node = protocol.nodes[i];
    for (const language::FormulaId child : node.children) {
      REQUIRE(child < static_cast<std::int32_t>(i));
    }
    using Kind = language::Node::Kind;
    if (node.kind == Kind::input) REQUIRE(below(node.target, protocol.inputs.size()));
    if (node.kind == Kind::let) REQUIRE(below(node.target, protocol.lets.size()));
    if (node.kind == Kind::look_up) REQUIRE(below(node.target, protocol.tables.size()));
    if (node.kind == Kind::cell && node.target != language::Node::of_batch) {
      REQUIRE(below(node.target, protocol.stages.size()));
    }
  }
  REQUIRE(below(protocol.finished_part, protocol.parts.size()));
  for (const language::Stage& stage : protocol.stages) {
    REQUIRE(below(stage.part, protocol.parts.size()));
    REQUIRE(stage.usual != language::no_formula);
    REQUIRE(stage.shortest != language::no_formula);
    REQUIRE(stage.longest != language::no_formula);
    for (const std::int32_t from : stage.takes) REQUIRE(below(from, protocol.stages.size()));
  }
}

}  // namespace

TEST_CASE("mutations of good protocols are read without harm") {
  Mutator mutator(good_protocols());
  std::size_t accepted = 0;
  std::size_t refused = 0;
  constexpr int rounds = 6'000;
  for (int i = 0; i < rounds; ++i) {
    text::Sources sources;
    text::Diagnostics diagnostics;
    const text::Source& source = sources.add("mutation.bud", mutator.next());
    const auto protocols = language::read(source, diagnostics).protocols;
    std::ostringstream out;
    text::print(out, diagnostics, text::Colour::never);
    CAPTURE(i);
    REQUIRE(protocols.empty() == diagnostics.has_errors());
    for (const language::Protocol& protocol : protocols) check_sound(protocol);
    ++(protocols.empty() ? refused : accepted);
  }
  // The mutations are neither all harmless nor all fatal, so both ways were tried.
  CHECK(accepted > rounds / 20);
  CHECK(refused > rounds / 4);
}
