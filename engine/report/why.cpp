#include "report/why.hpp"

#include <algorithm>
#include <ostream>
#include <set>

#include "report/wording.hpp"

namespace budwood::report {

namespace {

using sheet::Cell;
using sheet::CellId;

/// What cells are whose line says only which stage they belong to, by the end of their names.
constexpr std::pair<std::string_view, std::string_view> known_ends[] = {
    {".plants", "as many as bring what comes after it, with what is lost on the way"},
    {".left", "what is expected to come through"},
    {".needed", "what the stages after it take"},
    {".survival", "what comes through"},
    {".days", "from its start to its end"},
    {".hours", "people's time for all its work"},
    {".times", "how often the work is done"},
    {".earliest", "its end when nature is quick"},
    {".latest", "its end when nature is slow"},
    {".float", "by how much it can be late before the batch is"},
};

class Why {
 public:
  Why(const plan::Plan& plan, const plan::BatchPlan& batch, bool all)
      : plan_(plan), batch_(batch), sheet_(plan.sheet_of(batch)), t_(sheet_.layout()), all_(all) {}

  void write(std::ostream& out, CellId cell, const Style& style) {
    const bool date = t_.cell(cell).kind == Cell::Kind::date;
    const auto reasons =
        date ? sheet::reasons_of(sheet_, cell, batch_.row) : std::vector<sheet::DateReason>();
    out << t_.cell(cell).name << " of " << plan_.facts_of(batch_).id.value << " is "
        << value_of(cell) << (reasons.empty() ? ":" : ", and not later:") << '\n';
    if (reasons.empty()) {
      tell(out, cell, 1, style);
    } else {
      tell(out, reasons, style);
    }
    if (folded_ > 0) out << "  ... " << counted(folded_, "more step") << "; --all shows them.\n";
  }

 private:
  static constexpr int deepest = 3;
  static constexpr std::size_t most_steps = 8;

  std::string value_of(CellId cell) const {
    if (t_.cell(cell).type.kind == language::Type::Kind::date) {
      return short_date(sheet_.value(cell, batch_.row));
    }
    return sheet::shown(sheet_, cell, batch_.row);
  }

  /// A paragraph at a depth; later lines of it are indented a little more.
  static void paragraph(std::ostream& out, const std::string& text, int depth, const Style& style) {
    const auto indent = static_cast<std::size_t>(2 * depth);
    const std::size_t width = style.width > indent + 20 ? style.width - indent - 2 : 20;
    bool first = true;
    for (const std::string& line : wrap(text, width)) {
      out << std::string(indent + (first ? 0 : 2), ' ') << line << '\n';
      first = false;
    }
  }

  static std::string at(const text::Span& span) {
    const std::string place = file_and_line(span);
    return place.empty() ? "" : " (" + place.substr(place.rfind('/') + 1) + ")";
  }

  /// What makes no difference here: no count behind a share, a number that need not be sure, the
  /// mark of the cultivar that leads.
  bool is_idle(CellId id) const {
    const Cell& cell = t_.cell(id);
    if (cell.kind == Cell::Kind::lead) return true;
    const bool evidence = cell.name.ends_with(".good") || cell.name.ends_with(".seen");
    return (evidence || cell.kind == Cell::Kind::sure) && sheet_.value(id, batch_.row) == 0;
  }

  /// The facts that hold each date, and the date that they count back from.
  void tell(std::ostream& out, const std::vector<sheet::DateReason>& reasons, const Style& style) {
    for (std::size_t i = 0; i < reasons.size(); ++i) {
      // What it all rests on stands last and is always told.
      if (!all_ && i >= most_steps && i + 1 < reasons.size()) {
        ++folded_;
        continue;
      }
      if (i > 0) {
        paragraph(
            out,
            t_.cell(reasons[i].cell).name + " is " + short_date(reasons[i].day) + " at the latest:",
            1, style);
      }
      for (const auto& fact : reasons[i].facts) {
        paragraph(out, fact.text + at(fact.span), 2, style);
      }
    }
  }

  void tell(std::ostream& out, CellId id, int depth, const Style& style) {
    const Cell& cell = t_.cell(id);
    const bool again = !told_.insert(id).second;
    if (again) return;
    paragraph(out, cell.name + " = " + value_of(id) + ": " + how(id) + at(place_of(id)), depth,
              style);
    if (cell.kind == Cell::Kind::date) return;
    if (depth > deepest && !all_) {
      folded_ += cell.uses.size();
      return;
    }
    for (const CellId used : cell.uses) {
      if (!is_idle(used)) tell(out, used, depth + 1, style);
    }
  }

  /// The batch's or the site's own value of an input; nothing when it is the protocol's.
  const book::Written* given(CellId id, bool by_batch) const {
    const Cell& cell = t_.cell(id);
    if (cell.kind != Cell::Kind::input) return nullptr;
    if (by_batch) {
      const auto& own = plan_.facts_of(batch_).set;
      const auto found = own.find(cell.name);
      return found == own.end() ? nullptr : &found->second;
    }
    const auto& all = plan_.book->site.inputs;
    const auto protocol = all.find(t_.protocol.name);
    if (protocol == all.end()) return nullptr;
    const auto found = protocol->second.find(cell.name);
    return found == protocol->second.end() ? nullptr : &found->second;
  }

  text::Span place_of(CellId id) const {
    if (const book::Written* own = given(id, true)) return own->span;
    if (const book::Written* learned = given(id, false)) return learned->span;
    const Cell& cell = t_.cell(id);
    const bool of_batch = cell.kind == Cell::Kind::ordered || cell.kind == Cell::Kind::sure ||
                          cell.kind == Cell::Kind::lead;
    return of_batch ? plan_.facts_of(batch_).span : cell.span;
  }

  std::string how(CellId id) const {
    const Cell& cell = t_.cell(id);
    switch (cell.kind) {
      case Cell::Kind::input:
        if (given(id, true) != nullptr) return "given by the batch";
        return given(id, false) != nullptr ? "what the site has learned"
                                           : "the usual value of the protocol";
      case Cell::Kind::ordered:
        return "ordered";
      case Cell::Kind::sure:
        return "how sure the batch must be of its number; 0: on average";
      case Cell::Kind::lead:
        return "1: does the work that cultivars share";
      case Cell::Kind::date:
        return "planned; ask why " + cell.name;
      case Cell::Kind::formula:
        break;
    }
    for (const auto& [end, words] : known_ends) {
      if (cell.name.ends_with(end)) return std::string(words);
    }
    const std::string_view line =
        cell.span.source->line(cell.span.source->place(cell.span.begin).line);
    const std::size_t first = line.find_first_not_of(" \t");
    return first == std::string_view::npos ? "" : std::string(line.substr(first));
  }

  const plan::Plan& plan_;
  const plan::BatchPlan& batch_;
  const sheet::Sheet& sheet_;
  const sheet::Template& t_;
  bool all_;
  std::set<CellId> told_;
  std::size_t folded_ = 0;
};

}  // namespace

void write_why(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
               sheet::CellId cell, bool all, const Style& style) {
  Why(plan, batch, all).write(out, cell, style);
}

}  // namespace budwood::report
