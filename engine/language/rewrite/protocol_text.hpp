/// Changes of a protocol in its own text: numbers in place, notes where they belong, all else as it
/// was written, comments, order and spacing too.
///
/// The syntax tree tells where things stand, the text is what is changed. What it then means is for
/// `read` to say; whoever changes a text holds the result against what was wanted.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "text/text.hpp"

namespace budwood::language {

class ProtocolText {
 public:
  /// A protocol of a source, by its name without a variant. Nothing when it is not there or the
  /// source has mistakes of syntax. The source stays where it is.
  static std::optional<ProtocolText> find(const text::Source& source, const std::string& name);

  int edition() const { return edition_; }
  void set_edition(int edition);

  /// What is written as the usual value of an input: "70 %". "" where this text says none.
  std::string written_input(const std::string& input, const std::string& variant = {}) const;
  /// Writes another value, with the count and the spread behind it ("66 % seen 824 of 1260"). An
  /// input that this text does not have, of a base or by a variant, gets a `set`. False when there
  /// is no such variant.
  bool set_input(const std::string& input, const std::string& value,
                 const std::string& variant = {});

  /// The numbers of `lasts`, as they are written; "" where there is none: a single number is the
  /// shortest.
  struct Length {
    std::string shortest, longest, usual;
  };
  /// Nothing for a stage that this text does not have, or that follows temperatures.
  std::optional<Length> written_length(const std::string& stage) const;
  /// Writes other numbers; those that are "" stay. False when the stage has no such line here.
  bool set_length(const std::string& stage, const Length& length);

  /// Puts a note into a stage, or into the protocol where `stage` is "". False when the stage does
  /// not stand in this text.
  bool add_note(const std::string& stage, const std::string& words);

  /// Makes a variant the way to work: what it sets and changes takes the place of what was, and its
  /// block goes. Gives what cannot be done in the text, in words; "" when all was.
  std::string make_method(const std::string& variant);

  /// The protocol with all changes, and the comment above it; the whole source when nothing else
  /// stands in it.
  std::string result() const;

 private:
  struct Edit {
    std::uint32_t begin = 0, end = 0;
    std::string text;
  };
  struct Tree;
  class Taking;

  ProtocolText() = default;
  void replace(std::uint32_t begin, std::uint32_t end, std::string text);
  /// Adds a line before the closing brace of a block, indented as its statements are.
  void append(std::uint32_t brace, const std::string& line);

  const text::Source* source_ = nullptr;
  std::shared_ptr<const Tree> tree_;
  int edition_ = 1;
  std::vector<Edit> edits_;
};

/// A text as the language quotes it.
std::string quoted_text(const std::string& words);

}  // namespace budwood::language
