#include "book/yaml/yaml_tree.hpp"

#include <doctest/doctest.h>

#include "book_folder.hpp"

using namespace budwood::book;
namespace text = budwood::text;

namespace {

struct Tree {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source* source = nullptr;
  std::optional<Node> root;
};

void parse(const std::string& yaml, Tree& tree) {
  tree.source = &tree.sources.add("t.yaml", yaml);
  tree.root = read_tree(*tree.source, tree.diagnostics);
}

/// The part of the source that a node claims.
std::string text_of(const Tree& tree, const text::Span& span) {
  return std::string(tree.source->text().substr(span.begin, span.end - span.begin));
}

/// What is said about a text that is refused.
std::vector<std::string> refusals(const std::string& yaml) {
  Tree tree;
  parse(yaml, tree);
  std::vector<std::string> said;
  for (const text::Diagnostic& d : tree.diagnostics.sorted()) said.push_back(test::one_line(d));
  if (tree.root) said.insert(said.begin(), "a tree");
  return said;
}

}  // namespace

TEST_CASE("a tree keeps order, text and places") {
  Tree tree;
  parse(R"(# remark
name: Nörd house
lät: 'it''s'
q: "a\nb # c"   # remark
list:
  - one
  - {a: 1, b: [x, y]}
folded: one
  two
block: |
  l1
  l2
)",
        tree);
  REQUIRE(tree.root.has_value());
  REQUIRE(tree.diagnostics.empty());
  const Node& root = *tree.root;
  REQUIRE(root.kind == Node::Kind::map);
  const char* keys[] = {"name", "lät", "q", "list", "folded", "block"};
  REQUIRE(root.entries.size() == 6);
  for (std::size_t i = 0; i < 6; ++i) {
    CHECK(root.entries[i].key == keys[i]);
    CHECK(text_of(tree, root.entries[i].key_span) == keys[i]);
  }
  CHECK(root.find("name")->value == "Nörd house");
  CHECK(text_of(tree, root.find("name")->span) == "Nörd house");
  CHECK(root.find("lät")->value == "it's");
  CHECK(text_of(tree, root.find("lät")->span) == "'it''s'");
  CHECK(root.find("q")->value == "a\nb # c");
  CHECK(text_of(tree, root.find("q")->span) == "\"a\\nb # c\"");
  const Node& list = *root.find("list");
  REQUIRE(list.kind == Node::Kind::list);
  REQUIRE(list.items.size() == 2);
  CHECK(text_of(tree, list.items[0].span) == "one");
  const Node& inner = list.items[1];
  REQUIRE(inner.kind == Node::Kind::map);
  CHECK(inner.find("b")->items[1].value == "y");
  CHECK(text_of(tree, inner.find("b")->items[1].span) == "y");
  CHECK(text_of(tree, inner.span) == "{a: 1, b: [x, y");
  CHECK(root.find("folded")->value == "one two");
  CHECK(text_of(tree, root.find("folded")->span) == "one");
  CHECK(root.find("block")->value == "l1\nl2\n");
  CHECK(root.find("missing") == nullptr);
}

TEST_CASE("nothing is known by the key that lacks a value") {
  Tree tree;
  parse("a:\nb: ~\nc: {d: , e}\nf: [g, ]\nh: null\ni: \"null\"\n", tree);
  REQUIRE(tree.root.has_value());
  const Node& root = *tree.root;
  CHECK(root.find("a")->kind == Node::Kind::null);
  CHECK(text_of(tree, root.find("a")->span) == "a");
  CHECK(text_of(tree, root.find("b")->span) == "~");
  CHECK(text_of(tree, root.find("c")->find("d")->span) == "d");
  CHECK(text_of(tree, root.find("c")->find("e")->span) == "e");
  CHECK(root.find("f")->items.size() == 1);
  CHECK(root.find("h")->kind == Node::Kind::null);
  CHECK(root.find("i")->kind == Node::Kind::scalar);
}

TEST_CASE("empty texts") {
  for (const char* yaml : {"", "\n\n", "# remark\n", "---\n", "~\n", "---\n...\n"}) {
    CAPTURE(std::string(yaml));
    Tree tree;
    parse(yaml, tree);
    REQUIRE(tree.root.has_value());
    CHECK(tree.root->kind == Node::Kind::null);
    CHECK(tree.diagnostics.empty());
  }
}

TEST_CASE("of a key that stands twice the first counts") {
  Tree tree;
  parse("a: 1\nb: 2\na: 3\nc: {x: 1, x: 2, x: 3}\nd: 4\n", tree);
  REQUIRE(tree.root.has_value());
  CHECK(tree.root->entries.size() == 4);
  CHECK(tree.root->find("a")->value == "1");
  CHECK(tree.root->find("d")->value == "4");
  CHECK(tree.root->find("c")->entries.size() == 1);
  const auto all = tree.diagnostics.sorted();
  REQUIRE(all.size() == 3);
  CHECK(test::one_line(all[0]).starts_with("t.yaml:3:1 error duplicate-key `a`"));
  CHECK(text::describe(all[0].related[0].span) == "t.yaml:1:1");
  CHECK(test::one_line(all[2]).starts_with("t.yaml:4:17 error duplicate-key `x`"));
  CHECK(text::describe(all[2].related[0].span) == "t.yaml:4:5");
}

TEST_CASE("what is not YAML is refused in plain words at its place") {
  struct Mistake {
    const char* yaml;
    const char* said;
  };
  const Mistake mistakes[] = {
      {"a: [1, 2\nb: 3\n", "t.yaml:2:2 error yaml-syntax A list that was opened with `[`"},
      {"a: {x: 1\n", "t.yaml:2:1 error yaml-syntax What was opened with `{`"},
      {"a: 1]\nb: }\n", "t.yaml:2:4 error yaml-syntax This bracket closes nothing"},
      {"a: b: c\n", "t.yaml:1:5 error yaml-syntax A `:` has no place here."},
      {"a: 1\n b: 2\n", "t.yaml:2:3 error yaml-syntax A `:` has no place here."},
      {"a:\n\t- b\n", "t.yaml:2:2 error yaml-syntax This line is indented with a tab"},
      {"a:\n\tb: 1\n", "t.yaml:2:3 error yaml-syntax This line is indented with a tab"},
      {"a: -\n", "t.yaml:1:4 error yaml-syntax A `-` has no place here."},
      {"a: \"x\nb: 2\n", "t.yaml:1:4 error yaml-syntax This quoted text is never closed."},
      {"a: 'x\nb: 2\n", "t.yaml:1:4 error yaml-syntax This quoted text is never closed."},
      {"a: @x\n", "t.yaml:1:4 error yaml-syntax A value cannot begin with this character."},
      {"a: %x\n", "t.yaml:1:4 error yaml-syntax A value cannot begin with this character."},
      {"a: \"\\q\"\n", "t.yaml:1:7 error yaml-syntax There is no such escape"},
      {"a: 1\n- b\n", "t.yaml:2:1 error yaml-syntax This line does not fit under"},
      {"- a\nb: 1\n", "t.yaml:2:1 error yaml-syntax This line does not fit under"},
      {"a: 1\n---\nb: 2\n", "t.yaml:2:1 error several-documents A second document begins here."},
      {"a: 1\n---\n", "t.yaml:2:1 error several-documents A second document begins here."},
      {"? [1]\n: 2\n", "t.yaml:1:3 error yaml-key A key has to be a word."},
      {"~: 2\n", "t.yaml:1:1 error yaml-key A key has to be a word."},
      {"a: &b 1\n", "t.yaml:1:4 error yaml-anchor Names with `&` are not read."},
      {"a: &b [1]\n", "t.yaml:1:4 error yaml-anchor Names with `&` are not read."},
      {"a: &b\n", "t.yaml:1:4 error yaml-anchor Names with `&` are not read."},
      {"a: *b\n", "t.yaml:1:4 error yaml-syntax This is not well-formed YAML"},
      {"a: !!str 1\n", "t.yaml:1:4 error yaml-tag Types with `!` are not read."},
      {"a: !x {}\n", "t.yaml:1:4 error yaml-tag Types with `!` are not read."},
      {"%YAML 3.0\n---\na: 1\n", "t.yaml:1:1 error yaml-syntax This is not well-formed YAML"},
      {"a: 1 # \x04 hidden\nb: 2\n", "t.yaml:1:8 error odd-character"},
      {"a: 1\rb: 2\r", "t.yaml:1:5 error odd-character"},
      {"a: 1\nb: \xEF\xBB\xBF"
       "2\n",
       "t.yaml:2:4 error odd-character"},
      {"a: \x1b[2J\n", "t.yaml:1:4 error odd-character"},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(std::string(mistake.yaml));
    const std::vector<std::string> said = refusals(mistake.yaml);
    REQUIRE(said.size() == 1);
    CHECK_MESSAGE(said[0].starts_with(mistake.said), said[0]);
  }
}

TEST_CASE("an anchor and its use are each refused") {
  const auto said = refusals("a: &x 1\nb: *x\n");
  REQUIRE(said.size() == 2);
  CHECK(said[1].starts_with("t.yaml:2:4 error yaml-anchor References with `*`"));
}
