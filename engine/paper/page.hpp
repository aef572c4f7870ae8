#pragma once

#include <optional>
#include <string_view>

#include "paper/html.hpp"

namespace budwood::paper {

/// The paper that a page is for.
enum class PageSize {
  printers,  ///< whatever the printer has: A4 and Letter both do
  a4,
  letter
};

/// The document around what is printed: it has everything in itself, no scripts, nothing that is
/// fetched from elsewhere. Ends with its life.
class Page {
 public:
  enum class Turn { upright, landscape };

  /// `title` is what a browser shows; it may hold what a user has written.
  Page(std::ostream& out, std::string_view title, PageSize size, Turn turn = Turn::upright);
  ~Page();
  Page(const Page&) = delete;
  Page& operator=(const Page&) = delete;

  Html& html() { return html_; }

 private:
  Html html_;
};

/// Writes the start of a document up to where its style sheets may follow; ends are up to the
/// caller. For pages with a style sheet of their own.
void begin_document(Html& html, std::string_view title);

}  // namespace budwood::paper
