#include "editor/colour_files.hpp"

#include <algorithm>
#include <set>

#include "language/check/hazard.hpp"
#include "language/editing/expected.hpp"
#include "language/model.hpp"

namespace budwood::editor {

namespace {

/// Words that begin a statement, and those that only go on with one.
struct Words {
  std::vector<std::string> statements, others;
};

Words words_of_language() {
  Words out;
  for (const std::string& word : language::keywords()) {
    (language::statements_beginning(word).empty() ? out.others : out.statements).push_back(word);
  }
  return out;
}

std::vector<std::string> settings() {
  std::vector<std::string> out;
  for (const language::MeasureFacts& facts : language::measures()) out.push_back(facts.name);
  return out;
}

/// In lines that people can read.
std::string joined(const std::vector<std::string>& words, const std::string& before,
                   const std::string& between, const std::string& line_begin) {
  std::string out = line_begin;
  std::size_t width = line_begin.size();
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string one = before + words[i] + before + (i + 1 < words.size() ? between : "");
    if (width + one.size() > 100) {
      out.erase(out.find_last_not_of(' ') + 1);
      out += "\n" + line_begin;
      width = line_begin.size();
    }
    out += one;
    width += one.size();
  }
  return out;
}

std::string vim_keywords(const std::string& group, const std::vector<std::string>& words) {
  return joined(words, "", " ", "syntax keyword " + group + " ") + "\n";
}

std::string js_words(const std::string& name, const std::vector<std::string>& words) {
  return "const " + name + " = new Set([\n" + joined(words, "\"", ", ", "  ") + ",\n])\n";
}

}  // namespace

std::string vim_syntax() {
  const Words words = words_of_language();
  return "\" Colours for Budwood's protocols in Vim and Neovim. Made by the program; a test holds "
         "it\n"
         "\" against the words of the language.\n"
         "if exists(\"b:current_syntax\")\n  finish\nendif\n"
         "syntax case match\n" +
         vim_keywords("budwoodStatement", words.statements) +
         vim_keywords("budwoodWord", words.others) + vim_keywords("budwoodSetting", settings()) +
         vim_keywords("budwoodHazard", language::hazard_names()) +
         "syntax match budwoodNumber \"\\<\\d\\+\\(\\.\\d\\+\\)\\?\\>\"\n"
         "syntax match budwoodNumber \"\\<\\d\\d\\d\\d-\\d\\d-\\d\\d\\>\"\n"
         "syntax match budwoodNumber \"\\<\\d\\d\\?:\\d\\d\\>\"\n"
         "syntax region budwoodText start=+\"+ skip=+\\\\.+ end=+\"+ oneline\n"
         "syntax match budwoodComment \"#.*$\"\n"
         "syntax region budwoodBlock start=\"{\" end=\"}\" transparent fold\n"
         "highlight default link budwoodStatement Statement\n"
         "highlight default link budwoodWord Keyword\n"
         "highlight default link budwoodSetting Identifier\n"
         "highlight default link budwoodHazard Special\n"
         "highlight default link budwoodNumber Number\n"
         "highlight default link budwoodText String\n"
         "highlight default link budwoodComment Comment\n"
         "let b:current_syntax = \"budwood\"\n";
}

std::string codemirror_mode() {
  const Words words = words_of_language();
  return "// Colours for Budwood's protocols in CodeMirror: a mode of version 5, which version 6 "
         "takes as well:\n"
         "// StreamLanguage.define(budwood). Made by the program; a test holds it against the "
         "words "
         "of the\n"
         "// language.\n" +
         js_words("statements", words.statements) + js_words("words", words.others) +
         js_words("settings", settings()) + R"(export const budwood = {
  name: "budwood",
  lineComment: "#",
  electricInput: /^\s*\}$/,
  languageData: { commentTokens: { line: "#" }, closeBrackets: { brackets: ["{", "(", '"'] } },
  startState() {
    return { depth: 0 }
  },
  indent(state, after) {
    return 2 * Math.max(0, state.depth - (/^\s*\}/.test(after) ? 1 : 0))
  },
  token(stream, state) {
    if (stream.eatSpace()) return null
    if (stream.match(/^#.*/)) return "comment"
    if (stream.match(/^"([^"\\]|\\.)*"?/)) return "string"
    if (stream.match(/^\d{4}-\d\d-\d\d|^\d\d?:\d\d|^\d+(\.\d+)?/)) return "number"
    const word = stream.match(/^[\p{L}_°][\p{L}\p{M}\d_²³°]*/u)
    if (!word) {
      const sign = stream.next()
      if (sign === "{") state.depth += 1
      if (sign === "}") state.depth = Math.max(0, state.depth - 1)
      return "operator"
    }
    if (statements.has(word[0])) return "keyword"
    if (words.has(word[0])) return "builtin"
    return settings.has(word[0]) ? "property" : "variable"
  },
}
)";
}

}  // namespace budwood::editor
