#pragma once

#include "language/check/stage_checker.hpp"

namespace budwood::language {

/// Checks one protocol and builds its model: declares every name, then resolves what uses them.
class ProtocolChecker {
 public:
  ProtocolChecker(const syntax::Protocol& written, text::Diagnostics& diagnostics)
      : written_(written),
        diagnostics_(diagnostics),
        formulas_(protocol_, scope_, diagnostics),
        stages_(protocol_, scope_, formulas_, diagnostics) {}

  Protocol check();
  /// A table that protocols share, by itself.
  void check(const syntax::Table& shared) { declare_table(shared); }

 private:
  bool is_of_usual_size();

  // First: names.
  void declare_name(const syntax::Name& name, Declared::Kind kind, std::size_t index);
  void declare(const syntax::Edition& edition);
  void declare(const syntax::Crop& crop);
  void declare(const syntax::SourceNote& source);
  void declare(const syntax::Note& note);
  void declare(const syntax::Input& input);
  void evidence(const syntax::Input& written, Input& input);
  void spread(const syntax::Formula& written, Input& input);
  void declare(const syntax::Let& let);
  void declare(const syntax::Table& table);
  void declare(const syntax::Supply& supply);
  double footprint(const syntax::Footprint& written, const Supply& supply);
  void declare(const syntax::Part& part);
  void declare(const syntax::Observe& observe);
  void declare(const syntax::Repeat&) {}  // written out before
  void declare(const syntax::Stage& stage);
  void declare(const syntax::Requirement&) {}
  void declare(const syntax::Recipe&) {}  // see declare_made
  void declare(const syntax::Waive& waive);

  // Then: what refers to them.
  void declare_made();
  void resolve_recipes();
  void resolve_lets();
  void report_let_circle(const std::vector<std::size_t>& circle);
  void resolve_stages();
  void resolve_holds();
  void resolve_requirements();
  PartId find_part(const syntax::Name& name);
  bool ascending(const syntax::Table& written);
  bool words_of(const syntax::Table& written, Table& table);
  void report_value_of_input(const syntax::Formula& value, const std::string& input);
  void declare_words();
  void declare_table(const syntax::Table& written);
  void report_unused();
  void report_unset_readings();

  const syntax::Protocol& written_;
  text::Diagnostics& diagnostics_;
  Protocol protocol_;
  Scope scope_;
  FormulaChecker formulas_;
  StageChecker stages_;
  Seen seen_;
  bool flow_known_ = true;  ///< every stage's parts exist
};

}  // namespace budwood::language
