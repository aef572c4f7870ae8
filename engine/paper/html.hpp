#pragma once

#include <cstddef>
#include <initializer_list>
#include <ostream>
#include <string_view>

/// HTML, written piece by piece.
namespace budwood::paper {

/// A word of HTML. It can only be made of text that stands in the program, so that nothing a user
/// has written ever becomes markup.
class Word {
 public:
  template <std::size_t n>
  consteval Word(const char (&text)[n]) : text_(text, n - 1) {}  // NOLINT: reads like its text
  std::string_view text() const { return text_; }

 private:
  std::string_view text_;
};

/// Everything that reaches the page goes through here, and is escaped here.
class Html {
 public:
  struct Attribute {
    Word name;
    std::string_view value;  ///< an attribute without a value is left out
  };
  using Attributes = std::initializer_list<Attribute>;

  explicit Html(std::ostream& out) : out_(out) {}

  /// An element that is open as long as this lives.
  class Element {
   public:
    Element(Html& html, Word name) : html_(html), name_(name) {}
    ~Element() { html_.close(name_); }
    Element(const Element&) = delete;
    Element& operator=(const Element&) = delete;

   private:
    Html& html_;
    Word name_;
  };
  [[nodiscard]] Element open(Word name, Attributes attributes = {});
  /// An element of a class.
  [[nodiscard]] Element block(Word name, std::string_view kind) {
    return open(name, {{"class", kind}});
  }

  /// An element that has no inside: `img`, `meta`.
  void mark(Word name, Attributes attributes = {});
  /// Words of the program.
  void text(std::string_view text);
  /// Words that a user has written, or that hold some: whatever their writing direction is, it does
  /// not reach what stands beside them. Line breaks stay.
  void said(std::string_view text);
  /// An element with nothing but such words in it.
  void said(Word name, std::string_view kind, std::string_view text);
  /// An element with nothing but words of the program.
  void text(Word name, std::string_view kind, std::string_view text);
  /// What the program brings along whole, such as its style sheet.
  void own(Word markup) { out_ << markup.text(); }

  /// Whether there is any use in writing on.
  explicit operator bool() const { return static_cast<bool>(out_); }

 private:
  void start(Word name, Attributes attributes);
  void close(Word name);

  std::ostream& out_;
};

}  // namespace budwood::paper
