#include "manual/manual.hpp"

#include <algorithm>
#include <set>

#include "language/editing/expected.hpp"
#include "manual/texts.hpp"
#include "text/text.hpp"

namespace budwood::manual {

namespace {

/// A heading and what stands below it, up to the next of its level.
struct Section {
  Heading heading;
  std::string text;
};

std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    out.emplace_back(text.substr(0, end));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return out;
}

/// The level of a heading; 0 for other lines.
int level_of(const std::string& line) {
  const std::size_t level = line.find_first_not_of('#');
  const bool heading = level != std::string::npos && level > 0 && line[level] == ' ';
  return heading ? static_cast<int>(level) : 0;
}

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

std::string heading_text(const std::string& line) {
  std::string out = line.substr(line.find(' ') + 1);
  std::erase(out, '`');
  return out;
}

/// All sections of a text, those within others too. Lines in blocks of code are no headings.
std::vector<Section> sections_of(std::string_view text) {
  const std::vector<std::string> lines = lines_of(text);
  std::vector<int> levels;
  bool code = false;
  for (const std::string& line : lines) {
    if (line.starts_with("```")) code = !code;
    levels.push_back(code ? 0 : level_of(line));
  }
  std::vector<Section> out;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (levels[i] == 0) continue;
    Section section{{heading_text(lines[i]), levels[i]}, ""};
    for (std::size_t j = i; j < lines.size(); ++j) {
      if (j > i && levels[j] != 0 && levels[j] <= levels[i]) break;
      section.text += lines[j] + "\n";
    }
    out.push_back(std::move(section));
  }
  return out;
}

std::string_view text_named(std::string_view name) {
  for (const Text& one : texts()) {
    if (one.name == name) return one.text;
  }
  return {};
}

/// The codes in the first cell of a row of a table.
std::vector<std::string> codes_of(const std::string& line) {
  std::vector<std::string> out;
  if (!line.starts_with("| `")) return out;
  const std::string cell = line.substr(0, line.find(" |", 2));
  for (std::size_t open = cell.find('`'); open != std::string::npos;) {
    const std::size_t close = cell.find('`', open + 1);
    if (close == std::string::npos) break;
    out.push_back(cell.substr(open + 1, close - open - 1));
    open = cell.find('`', close + 1);
  }
  return out;
}

/// What the table of findings says of a code, once for each part of it that has the code.
std::string rows_of(const std::string& code) {
  std::string out;
  std::string heading;
  for (const std::string& line : lines_of(text_named("findings"))) {
    if (level_of(line) > 0) heading = heading_text(line);
    const std::vector<std::string> named = codes_of(line);
    if (std::find(named.begin(), named.end(), code) == named.end()) continue;
    const std::size_t cell = line.find(" | ", 2);
    out += heading + ": " + line.substr(cell + 3, line.rfind(" |") - cell - 3) + ".\n";
  }
  return out;
}

/// What is told of a code with a text that has the finding and one that has not.
struct Example {
  std::string code, words, broken, sound;
};

std::vector<Example> examples() {
  std::vector<Example> out;
  for (const Section& section : sections_of(text_named("mistakes"))) {
    if (section.heading.level != 2) continue;
    Example example{section.heading.text, "", "", ""};
    std::string* block = nullptr;
    bool inside = false;
    for (const std::string& line : lines_of(section.text)) {
      if (line.starts_with("```")) {
        if (!inside) block = block == nullptr ? &example.broken : &example.sound;
        inside = !inside;
        continue;
      }
      if (inside) *block += line + "\n";
      if (block == nullptr && level_of(line) == 0) example.words += line + "\n";
    }
    out.push_back(std::move(example));
  }
  return out;
}

/// A cell of a table with the words of its links alone: where they lead is in another file.
std::string without_links(std::string text) {
  for (std::size_t close = text.find("]("); close != std::string::npos; close = text.find("](")) {
    const std::size_t open = text.rfind('[', close);
    const std::size_t end = text.find(')', close);
    if (open == std::string::npos || end == std::string::npos) break;
    text.replace(open, end + 1 - open, text.substr(open + 1, close - open - 1));
  }
  return text;
}

std::string about_code(const std::string& code) {
  const std::string rows = rows_of(code);
  if (rows.empty()) return {};
  std::string out = code + "\n\n" + rows;
  for (const Example& one : examples()) {
    if (one.code != code) continue;
    out += one.words + "This has it:\n\n" + one.broken + "\nThis has not:\n\n" + one.sound;
  }
  return out;
}

std::string about_statement(const std::string& word) {
  std::string out;
  for (const language::ExpectedStatement& one : language::statements_beginning(word)) {
    out += "    " + std::string(one.form) + "\n";
  }
  if (out.empty()) return out;
  out = "Written like:\n\n" + out;
  // Rows of the reference that begin with the word.
  for (const Text& text : texts()) {
    for (const std::string& line : lines_of(text.text)) {
      if (line.starts_with("| `" + word + "`") || line.starts_with("| `" + word + " ")) {
        out += "\n" + line + "\n";
      }
    }
  }
  return out;
}

std::string sections_named(const std::string& topic) {
  std::string out;
  for (const Text& text : texts()) {
    if (text.name == "mistakes") continue;
    for (const Section& section : sections_of(text.text)) {
      if (lower(section.heading.text) != topic) continue;
      out += (out.empty() ? "" : "\n") + section.text;
    }
  }
  return out;
}

}  // namespace

std::vector<std::string> codes() {
  std::set<std::string> out;
  for (const std::string& line : lines_of(text_named("findings"))) {
    for (std::string& one : codes_of(line)) out.insert(std::move(one));
  }
  return {out.begin(), out.end()};
}

std::string about_key(const std::string& heading, const std::string& key) {
  constexpr std::size_t cells_of_a_row = 5;
  std::vector<Section> all = sections_of(text_named("book"));
  for (const char* more : {"recipes", "weather", "scouting"}) {
    for (Section& one : sections_of(text_named(more))) all.push_back(std::move(one));
  }
  for (const Section& section : all) {
    if (section.heading.text != heading) continue;
    for (const std::string& line : lines_of(section.text)) {
      if (!line.starts_with("| `" + key + "` |")) continue;
      std::vector<std::string> cells;
      for (std::size_t at = 2; at < line.size();) {
        const std::size_t end = std::min(line.find(" |", at), line.size());
        cells.push_back(without_links(line.substr(at, end - at)));
        at = end + 3;
      }
      if (cells.size() < cells_of_a_row) continue;
      return "`" + key + "`: " + cells[2] + ".\n\nWritten as " + cells[1] +
             "; when it is not said: " + cells[3] + ". Such as " + cells[4] + "\n";
    }
  }
  return {};
}

std::string place_of(const std::string& code) {
  const std::vector<Example> all = examples();
  const auto is_it = [&](const Example& one) { return one.code == code; };
  if (std::any_of(all.begin(), all.end(), is_it)) return "mistakes.md#" + code;
  return rows_of(code).empty() ? "" : "findings.md";
}

std::vector<Heading> headings() {
  std::vector<Heading> out;
  for (const Text& text : texts()) {
    if (text.name == "mistakes") continue;
    for (const Section& section : sections_of(text.text)) out.push_back(section.heading);
  }
  return out;
}

std::string look_up(const std::string& topic) {
  const std::string wanted = lower(topic);
  if (std::string out = about_code(wanted); !out.empty()) return out;
  std::string out = about_statement(wanted);
  const std::string sections = sections_named(wanted);
  if (!out.empty() && !sections.empty()) out += "\n";
  return out + sections;
}

std::string nearest_topic(const std::string& topic) {
  std::vector<std::string> known = codes();
  for (const Heading& one : headings()) known.push_back(lower(one.text));
  return text::nearest(lower(topic), known);
}

}  // namespace budwood::manual
