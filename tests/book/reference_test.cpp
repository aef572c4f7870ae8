#include <algorithm>
#include <map>
#include <set>

#include "book/yaml/keys.hpp"
#include "book_folder.hpp"

/// The reference of the book, grammar/book.md, of its recipes, grammar/recipes.md, of weather,
/// grammar/weather.md, of buying, grammar/buying.md, of demand, grammar/demand.md, and of rounds
/// through rooms, grammar/scouting.md: the keys that the readers know and no others, each with an
/// example that is read without a complaint.
using namespace budwood::book;
using namespace budwood::book::test;
namespace fs = std::filesystem;
namespace language = budwood::language;

namespace {

std::string content_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

std::string reference() {
  const fs::path grammar = BUDWOOD_GRAMMAR;
  return content_of(grammar / "book.md") + content_of(grammar / "recipes.md") +
         content_of(grammar / "buying.md") + content_of(grammar / "demand.md") +
         content_of(grammar / "weather.md") + content_of(grammar / "scouting.md");
}

struct Row {
  std::string key, form, meaning, left_out, example;
};

/// What stands in the backquotes of a field of a table.
std::string unquoted(const std::string& field) {
  if (field.size() < 2 || field.front() != '`' || field.back() != '`') return {};
  return field.substr(1, field.size() - 2);
}

/// The rows of the table below one heading.
std::vector<Row> rows_below(const std::string& heading) {
  std::istringstream lines(reference());
  std::vector<Row> rows;
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("#")) inside = line == "## " + heading || line == "### " + heading;
    if (!inside || !line.starts_with("| `")) continue;
    std::vector<std::string> fields;
    std::size_t at = 2;
    for (std::size_t end = line.find(" |", at); end != std::string::npos;
         end = line.find(" |", at)) {
      fields.push_back(line.substr(at, end - at));
      at = end + 3;
    }
    INFO(line);
    REQUIRE(fields.size() == 5);
    rows.push_back({unquoted(fields[0]), fields[1], fields[2], fields[3], unquoted(fields[4])});
  }
  return rows;
}

/// Where the example of a map's key stands: before and behind it, and what has to be there besides.
struct Around {
  std::string before, behind;
  std::map<std::string, std::string> needed;  ///< by key; left out when the example has the key
};

const std::string batch_below =
    "batches: [{batch: A1, protocol: softwood_cuttings, plants: 6, "
    "ready: 2027-05-10}]";

Around around(KeyMap map) {
  const std::map<std::string, std::string> site = {{"site", "North house"}};
  switch (map) {
    case KeyMap::site:
      return {"", "", site};
    case KeyMap::working:
      return {"site: N, working: {", "}", {}};
    case KeyMap::room:
      return {"site: N, rooms: {bench: {", "}}", {}};
    case KeyMap::energy:
      return {"site: N, currency: EUR, energy: {", "}", {}};
    case KeyMap::water:
      return {"site: N, water: {", "}", {}};
    case KeyMap::scouting:
      return {
          "site: N, rooms: {bench: {scout: {",
          "}}}",
          {{"for", "[thrips]"}, {"cards", "8"}, {"from", "2027-03-01"}, {"until", "2027-10-31"}}};
    case KeyMap::standing:
      return {"site: N, rooms: {bench: {stands: {", "}}}", {}};
    case KeyMap::tolerance:
      return {"site: N, tolerance: {", "}", {}};
    case KeyMap::steps:
      return {"site: N, steps: {", "}", {}};
    case KeyMap::duty:
      return {
          "site: N, crews: {potting: {people: 2, hours: 7 h, duty: {", "}}}", {{"hours", "2 h"}}};
    case KeyMap::crew:
      return {"site: N, crews: {potting: {", "}}", {{"people", "2"}, {"hours", "7 h"}}};
    case KeyMap::leave:
      return {"site: N, crews: {potting: {people: 2, hours: 7 h, leave: [{", "}]}}", {}};
    case KeyMap::extra:
      return {"site: N, crews: {potting: {people: 2, hours: 7 h, extra: [{", "}]}}", {}};
    case KeyMap::supply:
      return {"site: N, supplies: {label: {", "}}", {}};
    case KeyMap::offer:
      return {"site: N, supplies: {label: {offers: {Fen Peat: {", "}}}}", {}};
    case KeyMap::lot:
      return {"site: N, lots: {T-114: {", "}}", {{"of", "seed"}, {"count", "2000"}}};
    case KeyMap::mothers:
      return {
          "site: N, mothers: {fuchsia_2025: {of: shoot, plants: 4, gives: 9 shoots every 2 weeks, "
          "from: 2025-03-01}, fuchsia: {",
          "}}",
          {{"of", "shoot"},
           {"plants", "40"},
           {"gives", "12 shoots every 3 weeks"},
           {"from", "2027-03-01"}}};
    case KeyMap::finished:
      return {"site: N, finished: {east: {", "}}", {{"of", "plug_pansies"}, {"plants", "40"}}};
    case KeyMap::recipe:
      return {"site: N, recipes: {mix: {", "}}", {{"makes", "100 L"}, {"of", "{peat_free: 60 L}"}}};
    case KeyMap::climate:
      return {"site: N, climate: {", "}", {}};
    case KeyMap::normals: {
      std::map<std::string, std::string> months;
      for (const std::string& month : keys_of(map).names) months[month] = "[0, 10]";
      return {"site: N, climate: {normals: {", "}}", months};
    }
    case KeyMap::labels:
      return {"site: N, labels: {",
              "}",
              {{"page", "A4"},
               {"across", "3"},
               {"down", "8"},
               {"width", "60 mm"},
               {"height", "33 mm"}}};
    case KeyMap::moving:
      return {"site: N, moving: {", "}", {{"rate", "400 per hour"}}};
    case KeyMap::spacing:
      return {"site: N, spacing: {", "}", {{"rate", "450 per hour"}}};
    case KeyMap::batches:
      return {"", "", {{"batches", batch_below.substr(std::string("batches: ").size())}}};
    case KeyMap::batch:
      return {"batches: [{",
              "}]",
              {{"batch", "A1"},
               {"protocol", "softwood_cuttings"},
               {"plants", "6"},
               {"ready", "2027-05-10"}}};
    case KeyMap::demand:
      return {"batches: [{batch: A1, protocol: p, plants: 60, ready: 2027-05-10, demand: {",
              "}}]",
              {{"least", "400"},
               {"usual", "500"},
               {"most", "600"},
               {"too_many", "0.80"},
               {"too_few", "3.20"}}};
    case KeyMap::promised:
      return {"batches: [{batch: A1, protocol: p, ready: 2027-05-10, promised: [{",
              "}]}]",
              {{"plants", "200"}, {"on", "2027-04-02"}}};
    case KeyMap::trial:
      return {"batches: [{batch: A1, protocol: p, plants: 60, ready: 2027-05-10, trial: {",
              "}}]",
              {{"arms", "{a: , b: {variant: b}}"}, {"trays", "6"}, {"seed", "1"}}};
    case KeyMap::arm:
      return {
          "batches: [{batch: A1, protocol: p, plants: 60, ready: 2027-05-10, trial: "
          "{trays: 6, seed: 1, arms: {a: , b: {",
          "}}}}]",
          {}};
    case KeyMap::levelled_file:
    case KeyMap::editions_file:
    case KeyMap::learned_file:
      return {"", "", {}};
    case KeyMap::learned:
      return {"learned: [{",
              "}]",
              {{"protocol", "bench_graft"},
               {"edition", "1"},
               {"input", "take"},
               {"value", "79 %"},
               {"usual", "85 %"},
               {"day", "2027-09-30"}}};
    case KeyMap::levelled:
      return {"levelled: [{", "}]", {{"batch", "A1"}, {"ready", "2027-05-07"}}};
    case KeyMap::edition:
      return {
          "editions: [{",
          "}]",
          {{"protocol", "bench_graft"}, {"edition", "1"}, {"fingerprint", std::string(64, '0')}}};
    case KeyMap::weather:
      break;
  }
  return {};
}

/// Keys of which a batch or an edition has one or the other.
bool stands_in_for(const std::string& example, const std::string& key) {
  const std::pair<std::string, std::string> other[] = {
      {"plants", "cultivars:"}, {"plants", "demand:"},    {"plants", "promised:"},
      {"ready", "start:"},      {"ready", "not_before:"}, {"protocol", "rules:"}};
  return std::any_of(std::begin(other), std::end(other), [&](const auto& one) {
    return one.first == key && example.starts_with(one.second);
  });
}

/// A map without what stands in braces or brackets in it: "from: 1, leave: ".
std::string outermost(const std::string& text) {
  std::string out;
  int depth = 0;
  for (const char c : text) {
    if (c == '}' || c == ']') --depth;
    if (depth == 0) out += c;
    if (c == '{' || c == '[') ++depth;
  }
  return out;
}

std::string filled(KeyMap map, const std::string& example) {
  const Around place = around(map);
  const std::string keys = outermost(example);
  std::string inner = example;
  for (const auto& [key, value] : place.needed) {
    const bool there =
        keys.starts_with(key + ":") || keys.find(", " + key + ":") != std::string::npos;
    if (!there && !stands_in_for(example, key)) inner += ", " + key + ": " + value;
  }
  return "{" + place.before + inner + place.behind + "}\n";
}

/// All that a map needs but one key.
std::string without(KeyMap map, const std::string& key) {
  const Around place = around(map);
  std::string inner;
  for (const auto& [name, value] : place.needed) {
    if (name != key) inner += (inner.empty() ? "" : ", ") + name + ": " + value;
  }
  return "{" + place.before + inner + place.behind + "}\n";
}

/// The block of the reference that begins with ```csv.
std::string weather_example() {
  const std::string text = reference();
  const std::size_t begin = text.find("```csv\n");
  REQUIRE(begin != std::string::npos);
  const std::size_t from = begin + std::string("```csv\n").size();
  return text.substr(from, text.find("```", from) - from);
}

/// What is said about a book with this file in it. Beside it stand what the examples speak of.
std::vector<std::string> problems_of(KeyMap map, const std::string& text) {
  const bool of_batches = map == KeyMap::batches || map == KeyMap::batch || map == KeyMap::demand ||
                          map == KeyMap::promised || map == KeyMap::trial || map == KeyMap::arm;
  const bool of_levelled = map == KeyMap::levelled_file || map == KeyMap::levelled;
  const bool of_editions = map == KeyMap::editions_file || map == KeyMap::edition;
  const bool of_learned = map == KeyMap::learned_file || map == KeyMap::learned;
  const Folder folder;
  fs::create_directory(folder.path() / "protocols");
  fs::create_directory(folder.path() / "book");
  const fs::path library = BUDWOOD_PROTOCOLS;
  std::map<std::string, std::string> files = {
      {"site.yaml", small_site},
      {"batches.yaml", "{" + batch_below + "}\n"},
      {"weather.csv", weather_example()},
      {"softwood_cuttings.bud", content_of(library / "softwood_cuttings.bud")},
      {"good_practice.bud", content_of(library / "rules" / "good_practice.bud")}};
  files[of_batches    ? "batches.yaml"
        : of_levelled ? "levelled.yaml"
        : of_editions ? "editions.yaml"
        : of_learned  ? "learned.yaml"
                      : "site.yaml"] = text;
  for (const auto& [name, content] : files) folder.write("book/" + name, content);
  budwood::text::Sources sources;
  budwood::text::Diagnostics diagnostics;
  read_book(folder.path() / "book", sources, diagnostics);
  std::vector<std::string> problems;
  for (const auto& d : diagnostics.sorted()) {
    // Where the record had better stand is told of every book that says what happened; there is no
    // server here.
    if (d.code == "kept-in-batches" || d.code == "no-record") continue;
    problems.push_back(one_line(d));
  }
  return problems;
}

}  // namespace

TEST_CASE("reference: every key of a book's files, and no other") {
  for (const Keys& keys : all_keys()) {
    INFO(keys.heading);
    std::vector<std::string> listed;
    for (const Row& row : rows_below(keys.heading)) listed.push_back(row.key);
    std::vector<std::string> known = keys.names;
    std::sort(listed.begin(), listed.end());
    std::sort(known.begin(), known.end());
    CHECK(joined(listed) == joined(known));
  }
}

TEST_CASE("reference: every entry is whole, and its example is read") {
  std::size_t examples = 0;
  for (const Keys& keys : all_keys()) {
    if (keys.map == KeyMap::weather) continue;
    for (const Row& row : rows_below(keys.heading)) {
      INFO(keys.heading, ", ", row.key, ": ", row.example);
      CHECK_FALSE(row.form.empty());
      CHECK_FALSE(row.meaning.empty());
      CHECK_FALSE(row.left_out.empty());
      CHECK((row.example.starts_with(row.key + ":") ||
             row.example.find(" " + row.key + ":") != std::string::npos));
      CHECK(joined(problems_of(keys.map, filled(keys.map, row.example))) == "");
      ++examples;
    }
  }
  CHECK(examples > 80);
}

TEST_CASE("reference: a key that must be there is missed") {
  std::size_t missed = 0;
  for (const Keys& keys : all_keys()) {
    if (keys.map == KeyMap::weather) continue;
    for (const Row& row : rows_below(keys.heading)) {
      if (!row.left_out.starts_with("must be there")) continue;
      INFO(keys.heading, ", ", row.key);
      const std::string problems = joined(problems_of(keys.map, without(keys.map, row.key)));
      CHECK((problems.find(" missing-key ") != std::string::npos ||
             problems.find(" no-batches ") != std::string::npos));
      ++missed;
    }
  }
  CHECK(missed > 20);
}

TEST_CASE("reference: the usual tolerances are those of the program") {
  for (const Row& row : rows_below("tolerance")) {
    INFO(row.key);
    const language::MeasureFacts& facts = *language::find_measure(row.key);
    CHECK(row.left_out == difference_text(facts, facts.tolerance));
  }
}
