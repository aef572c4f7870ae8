#include <cmath>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/sheet/sensitivity_words.hpp"

namespace budwood::report {

namespace {

using plan::Tried;
using ColumnKind = Table::Kind;

class SensitivityTable {
 public:
  SensitivityTable(std::ostream& out, const Asked& asked, const plan::Sensitivity& found,
                   const Style& style)
      : out_(out),
        paragraphs_(out, style),
        asked_(asked),
        found_(found),
        cell_(scale_of(asked, found.cell)),
        style_(style) {}

  void write() {
    const std::string name = asked_.t.cell(found_.cell).name;
    paragraphs_.write("What moves " + name + " of " + asked_.name() + ", now " +
                      cell_.text(found_.present) + ":");
    if (!found_.obstacle.empty()) {
      paragraphs_.write(
          "As it stands " + asked_.name() + " cannot be carried out: " + found_.obstacle, 1);
    }
    std::vector<const Tried*> moving;
    std::vector<std::string> idle;
    for (const Tried& one : found_.inputs) {
      if (one.moves() > 0 || !holds_everywhere(one)) {
        moving.push_back(&one);
      } else {
        idle.push_back(name_of(asked_, one));
      }
    }
    write_rows("Input", moving);
    if (!moving.empty()) out_ << '\n';
    if (!idle.empty()) {
      paragraphs_.write("It stays as it is, and the plan holds, over the whole range of " +
                            text::list_words(idle) + ".",
                        1);
    }
    if (found_.inputs.empty()) paragraphs_.write("No input of it has a range.", 1);
    write_without_range();
    write_batch();
  }

 private:
  void write_batch() {
    paragraphs_.write(
        "The batch itself, tried from half to double its plants and four weeks either way; nobody "
        "wrote these ranges:",
        1);
    std::vector<const Tried*> all;
    for (const Tried& one : found_.batch) all.push_back(&one);
    write_rows("Batch", all);
    paragraphs_.write(
        "Crews' hours, rooms and counted plants are not looked at here; `plan --set` tells.", 1);
  }

  void write_rows(const std::string& head, const std::vector<const Tried*>& all) {
    if (all.empty()) return;
    Table table({{head, ColumnKind::entry},
                 {"From", ColumnKind::number},
                 {"To", ColumnKind::number},
                 {"Now", ColumnKind::number},
                 {"At its\nlow end", ColumnKind::number},
                 {"At its\nhigh end", ColumnKind::number},
                 {"Moves by", ColumnKind::number},
                 {"The plan\nholds"}});
    for (const Tried* one : all) {
      const Scale scale = scale_of(*one);
      table.add({name_of(asked_, *one), scale.text(one->low()), scale.text(one->high()),
                 scale.text(one->present), cell_.text(one->trials.front().result),
                 cell_.text(one->trials.back().result),
                 one->moves() > 0 ? cell_.difference_text(one->moves()) : "-", holds(*one, scale)});
    }
    out_ << '\n';
    table.write(out_, style_, 2);
    for (const Tried* one : all) {
      write_extremes(*one);
      write_obstacles(*one);
    }
  }

  /// The smallest and largest results, where they are not at the ends.
  void write_extremes(const Tried& one) {
    const Scale scale = scale_of(one);
    const double first = one.trials.front().result;
    const double last = one.trials.back().result;
    std::vector<std::string> pieces;
    const auto add = [&](const char* word, const Tried::Trial* trial) {
      if (trial == nullptr || trial->result == first || trial->result == last) return;
      pieces.push_back(word + cell_.text(trial->result) + " at " + scale.text(trial->value));
    };
    add("lowest ", one.smallest());
    add("highest ", one.largest());
    if (!pieces.empty()) {
      paragraphs_.write(name_of(asked_, one) + " on its way: " + joined(pieces, ", ") + ".", 1);
    }
  }

  static bool holds_everywhere(const Tried& one) {
    return one.feasible.size() == 1 && one.feasible.front().low == one.low() &&
           one.feasible.front().high == one.high();
  }

  static std::string holds(const Tried& one, const Scale& scale) {
    if (one.feasible.empty()) return "nowhere";
    if (holds_everywhere(one)) return "everywhere";
    std::vector<std::string> pieces;
    for (const Tried::Stretch& stretch : one.feasible) {
      pieces.push_back(stretch.low == stretch.high
                           ? "at " + scale.text(stretch.low)
                           : scale.text(stretch.low) + " to " + scale.text(stretch.high));
    }
    return joined(pieces, "; ");
  }

  void write_obstacles(const Tried& one) {
    const Tried::Stretch* stretch = one.around_present();
    if (stretch == nullptr) return;
    const Scale scale = scale_of(one);
    const std::string name = name_of(asked_, one);
    if (!one.below.empty()) {
      paragraphs_.write(name + " below " + scale.text(stretch->low) + ": " + one.below, 1);
    }
    if (!one.above.empty()) {
      paragraphs_.write(name + " above " + scale.text(stretch->high) + ": " + one.above, 1);
    }
  }

  void write_without_range() {
    std::vector<std::string> names;
    for (const sheet::CellId id : found_.without_range) names.push_back(asked_.t.cell(id).name);
    if (names.empty()) return;
    paragraphs_.write("Without a range, so not tried: " + joined(names, ", ") + ".", 1);
  }

  std::ostream& out_;
  Paragraphs paragraphs_;
  const Asked& asked_;
  const plan::Sensitivity& found_;
  Scale cell_;
  const Style& style_;
};

}  // namespace

void write_sensitivity_table(std::ostream& out, const plan::Plan& plan,
                             const std::vector<BatchSensitivity>& batches, const Style& style) {
  bool first = true;
  for (const BatchSensitivity& one : batches) {
    if (!first) out << '\n';
    first = false;
    SensitivityTable(out, Asked(plan, *one.batch), one.found, style).write();
  }
}

}  // namespace budwood::report
