#pragma once

#include <string>
#include <vector>

#include "paper/html.hpp"

namespace budwood::paper {

/// Rows below a title: a word at the left, what it is about beside it. Ends with its life.
class FactsList {
 public:
  explicit FactsList(Html& html) : html_(html), list_(html.block("dl", "facts")) {}

  /// Nothing for no text.
  void row(std::string_view word, std::string_view text) {
    if (!text.empty()) rows(word, {std::string(text)});
  }
  /// A paragraph a text; `kind` is how they are set off.
  void rows(std::string_view word, const std::vector<std::string>& texts,
            std::string_view kind = {}) {
    if (texts.empty()) return;
    html_.text("dt", {}, word);
    const auto value = html_.open("dd");
    for (const std::string& text : texts) html_.said("div", kind, text);
  }
  /// An amount and what it is of, each in a line of its own; `behind` follows in plain words.
  struct Amount {
    std::string amount, of, behind;
  };
  void amounts(std::string_view word, const std::vector<Amount>& amounts) {
    if (amounts.empty()) return;
    html_.text("dt", {}, word);
    const auto value = html_.open("dd");
    for (const Amount& one : amounts) {
      const auto line = html_.open("div");
      html_.said("b", "amount", one.amount);
      html_.said(one.of);
      if (one.behind.empty()) continue;
      html_.text(", ");
      html_.said(one.behind);
    }
  }

 private:
  Html& html_;
  Html::Element list_;
};

}  // namespace budwood::paper
