#include "language/parse/parse.hpp"

#include "language/parse/parser_run.hpp"
#include "language/parse/tree_builder.hpp"

namespace budwood::language {

syntax::File parse(const text::Source& source, text::Diagnostics& diagnostics) {
  ParserRun run(source, diagnostics);
  grammar::BudwoodParser::FileContext* tree = run.tree();
  if (tree == nullptr) return {};
  if (tree->protocol().empty() && tree->rules().empty() && tree->table().empty() &&
      run.mistakes() == 0) {
    diagnostics.error("empty-file", {&source, 0, 0}, "There is no protocol in this file.",
                      "A file starts like: protocol my_cuttings \"My cuttings\" { ... }");
  }
  return TreeBuilder(run.tokens().places(), diagnostics, run.mistakes() > 0).file(tree);
}

}  // namespace budwood::language
