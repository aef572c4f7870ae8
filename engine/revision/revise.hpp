/// The next edition of a protocol, written from the present one's text and from what happened.
///
/// Numbers are changed where they stand, with a note that says the count behind each; a variant
/// that won becomes the method when somebody asks for it; lessons become notes at their stage. What
/// was looked at and left as it is, is told as well: nothing is accepted silently. Nobody's files
/// are touched, the text is for people to read and take.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "language/language.hpp"
#include "results/learn.hpp"

namespace budwood::revision {

/// What is wanted.
struct Wish {
  const language::Protocol* protocol = nullptr;  ///< of the book, no variant
  std::string method;                            ///< the variant that becomes the method; "": none
};

/// One thing that the new text says otherwise.
struct Step {
  std::string about;          ///< "strike", "length of rooting", "lesson for rooting", "variant x"
  std::string before, after;  ///< as written; "" where there is none
  std::string behind;         ///< what it rests on
};

struct Revision {
  std::string problem;      ///< why there is no next edition; "" when there is one
  int edition = 1;          ///< of the new text
  std::vector<Step> steps;  ///< in the order in which they were made
  std::vector<Step> left;   ///< what was looked at and stays, `behind` says why
  std::string content;      ///< the new text
  /// The new text read: with the site's names and rules, as the book has its protocols. Reports
  /// point into it, also where it has mistakes.
  std::unique_ptr<text::Source> source;
  language::Document document;
  const language::Protocol* protocol = nullptr;  ///< in the document; null when there is a problem
};

/// The next edition. A problem when the text cannot be found or changed so, or when what comes out
/// would not mean what was wanted. Mistakes that it would have are reported; the reports hold as
/// long as the revision.
Revision revise(const results::Asked& book, const Wish& wish, text::Diagnostics& diagnostics);

}  // namespace budwood::revision
