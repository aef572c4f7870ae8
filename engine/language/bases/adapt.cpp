#include "language/bases/adapt.hpp"

#include <algorithm>
#include <set>

#include "language/bases/rename.hpp"
#include "language/bases/stage_change.hpp"
#include "language/bases/stage_list.hpp"
#include "language/tree/statement_parts.hpp"

namespace budwood::language {

namespace {

class Adapter {
 public:
  Adapter(const syntax::Protocol& base, const syntax::Protocol& changed,
          text::Diagnostics& diagnostics)
      : base_(base), changed_(changed), out_(base), diagnostics_(diagnostics) {}

  syntax::Protocol run() {
    std::erase_if(out_.items, [](const syntax::ProtocolItem& item) {
      return std::holds_alternative<syntax::Edition>(item);
    });
    for (const syntax::Change& change : changed_.changes) {
      std::visit([this](const auto& one) { apply(one); }, change);
    }
    for (const syntax::ProtocolItem& item : changed_.items) declare(item);
    out_.name = changed_.name;
    if (changed_.title) out_.title = changed_.title;
    out_.base = changed_.base;
    // Those of the base change what may be another thing here.
    out_.variants = changed_.variants;
    out_.layers = changed_.layers;
    out_.layers.insert(out_.layers.end(), base_.layers.begin(), base_.layers.end());
    out_.has_unread = out_.has_unread || changed_.has_unread;
    out_.unread_names.insert(out_.unread_names.end(), changed_.unread_names.begin(),
                             changed_.unread_names.end());
    return std::move(out_);
  }

 private:
  void report_unknown(const std::string& kind, const syntax::Name& name,
                      const std::vector<std::string>& known) {
    text::Diagnostic d;
    d.code = "unknown-name";
    d.span = name.span;
    d.message = "`" + base_.name.text + "` edition " +
                std::to_string(base_.layers.front().edition) + " has no " + kind + " `" +
                name.text + "`.";
    d.advice = text::did_you_mean(name.text, known);
    if (d.advice.empty() && !known.empty()) d.advice = "It has " + text::list_words(known) + ".";
    d.related.push_back({base_.name.span, "The protocol that this is based on is here."});
    diagnostics_.add(std::move(d));
  }

  /// Names of one kind of declaration.
  std::vector<std::string> names_of(const std::string& kind) const {
    if (kind == "stage") return stage_names(out_);
    std::vector<std::string> names;
    for (const syntax::ProtocolItem& item : out_.items) {
      const std::string subject = subject_of(item);
      if (subject.starts_with(kind + " ")) names.push_back(subject.substr(kind.size() + 1));
    }
    return names;
  }

  syntax::Stage* stage(const syntax::Name& name) {
    syntax::Stage* found = find_stage(out_, name.text);
    if (found == nullptr) report_unknown("stage", name, stage_names(out_));
    return found;
  }

  void apply(const syntax::SetInput& set) {
    for (syntax::ProtocolItem& item : out_.items) {
      auto* input = std::get_if<syntax::Input>(&item);
      if (input == nullptr || input->name.text != set.input.name.text) continue;
      syntax::Input fresh = set.input;
      // The old count does not speak of the new share.
      if (!fresh.lowest) {
        fresh.lowest = input->lowest;
        fresh.highest = input->highest;
      }
      if (!fresh.title) fresh.title = input->title;
      *input = std::move(fresh);
      return;
    }
    report_unknown("input", set.input.name, names_of("input"));
  }

  void apply(const syntax::StageChange& change) {
    if (syntax::Stage* found = stage(change.name)) change_stage(change, *found, diagnostics_);
  }

  void apply(const syntax::CycleChange& change) {
    if (stage(change.stage) == nullptr) return;
    for (syntax::ProtocolItem& item : out_.items) {
      auto* repeat = std::get_if<syntax::Repeat>(&item);
      if (repeat == nullptr) continue;
      const bool holds =
          std::any_of(repeat->stages.begin(), repeat->stages.end(),
                      [&](const syntax::Stage& one) { return one.name.text == change.stage.text; });
      if (!holds) continue;
      repeat->times = change.times;
      return;
    }
    diagnostics_.error(
        "no-cycles", change.stage.span,
        "The stage `" + change.stage.text + "` is not repeated in `" + base_.name.text + "`.",
        "Name a stage that stands in a `repeat` block.");
  }

  void apply(const syntax::Addition& addition) {
    const syntax::Name& name = addition.stage.name;
    if (syntax::Stage* there = find_stage(out_, name.text)) {
      text::Diagnostic d;
      d.code = "duplicate-name";
      d.span = name.span;
      d.message = "There is already a stage `" + name.text + "`.";
      d.advice =
          "Give the new one another name, or write `change stage " + name.text + " { ... }`.";
      d.related.push_back({there->name.span, "It is here."});
      diagnostics_.add(std::move(d));
      return;
    }
    if (stage(addition.place) != nullptr) insert_stage(out_, addition);
  }

  void apply(const syntax::Drop& drop) {
    if (drop.stage) {
      if (syntax::Stage* found = stage(*drop.stage)) drop_from(drop, *found, diagnostics_);
      return;
    }
    if (drop.kind == "stage") {
      if (!remove_stage(out_, drop.name.text))
        report_unknown("stage", drop.name, stage_names(out_));
      return;
    }
    const Statement* dropped_statement = find_statement(drop.kind);
    if (dropped_statement == nullptr || (dropped_statement->blocks & of_protocol) == 0) {
      diagnostics_.error("misplaced", drop.span, "It is not clear of which stage this is dropped.",
                         drop.kind == "work" ? "Add the stage: drop work \"...\" in rooting"
                                             : "Write it in a block: change stage rooting { drop " +
                                                   drop.kind + " ... }");
      return;
    }
    const bool named = drop.text.value.empty();
    const std::string subject = drop.kind + " " + (named ? drop.name.text : drop.text.value);
    const std::size_t dropped = std::erase_if(
        out_.items, [&](const syntax::ProtocolItem& item) { return subject_of(item) == subject; });
    if (dropped > 0) return;
    if (named) {
      report_unknown(drop.kind, drop.name, names_of(drop.kind));
    } else {
      report_unknown(drop.kind, {text::shortened(drop.text.value), drop.text.span}, {});
    }
  }

  void apply(const syntax::Rename& change) {
    const bool declared = change.kind != "work" && change.kind != "room" && change.kind != "crew";
    const std::vector<std::string> known =
        declared ? names_of(change.kind) : std::vector<std::string>{};
    if (declared && std::find(known.begin(), known.end(), change.to.text) != known.end()) {
      diagnostics_.error(
          "duplicate-name", change.to.span,
          "The name `" + change.to.text + "` is taken by another " + change.kind + ".",
          "Choose another name.");
      return;
    }
    if (change.kind == "work" && stage(*change.stage) == nullptr) return;
    if (rename(change, out_)) return;
    if (change.kind == "work") {
      report_unknown("work", {text::shortened(change.old_text.value), change.old_text.span}, {});
    } else {
      report_unknown(change.kind, change.from, known);
    }
  }

  /// Takes the place of the base's declaration of that name, or is added.
  void declare(const syntax::ProtocolItem& item) {
    if (std::holds_alternative<syntax::Stage>(item) ||
        std::holds_alternative<syntax::Repeat>(item)) {
      report_loose(item);
      return;
    }
    const std::string subject = subject_of(item);
    const auto old =
        std::find_if(out_.items.begin(), out_.items.end(),
                     [&](const syntax::ProtocolItem& one) { return subject_of(one) == subject; });
    // A second one of its own name is a mistake that the check will find.
    const bool first = declared_.insert(subject).second;
    if (old != out_.items.end() && first) {
      *old = item;
    } else {
      out_.items.push_back(item);
    }
  }

  void report_loose(const syntax::ProtocolItem& item) {
    const auto* stage = std::get_if<syntax::Stage>(&item);
    const std::string name = stage != nullptr ? stage->name.text : "resting";
    diagnostics_.error(
        "misplaced", std::visit([](const auto& one) { return span_of(one); }, item),
        "It is not said where this goes among the stages of `" + base_.name.text + "`.",
        "Write `add stage " + name +
            " of ... after ...`, or `change stage` for one that is there.");
  }

  const syntax::Protocol& base_;
  const syntax::Protocol& changed_;
  syntax::Protocol out_;
  std::set<std::string> declared_;  ///< by the changes
  text::Diagnostics& diagnostics_;
};

}  // namespace

syntax::Protocol adapt(const syntax::Protocol& base, const syntax::Protocol& changed,
                       text::Diagnostics& diagnostics) {
  return Adapter(base, changed, diagnostics).run();
}

void report_baseless(const syntax::Protocol& protocol, text::Diagnostics& diagnostics) {
  for (const syntax::Change& change : protocol.changes) {
    const text::Span span = std::visit(
        [](const auto& one) {
          if constexpr (requires { one.head; })
            return one.head;
          else
            return one.span;
        },
        change);
    diagnostics.error("no-base", span,
                      "`" + protocol.name.text +
                          "` is based on no other protocol, so there is nothing to change.",
                      "Write it like: protocol " + protocol.name.text +
                          " based on other_protocol edition 2 \"...\" { ... }");
  }
}

}  // namespace budwood::language
