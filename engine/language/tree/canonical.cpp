#include "language/tree/canonical.hpp"

#include <algorithm>

#include "calendar/calendar.hpp"
#include "digest/digest.hpp"
#include "language/tree/canonical_form.hpp"
#include "language/tree/statement_parts.hpp"

namespace budwood::language {

namespace {

constexpr const char* protocol_form = "budwood protocol 1";
constexpr const char* rules_form = "budwood rules 1";

/// The word with which the form of a statement begins.
template <typename Item>
std::string form_word(const Item& item) {
  if constexpr (requires { item.form_word(); }) return std::string(item.form_word());
  std::string out(statement_of(item).words);
  std::replace(out.begin(), out.end(), ' ', '_');
  return out;
}

/// What a statement keeps its order with.
template <typename Item>
std::set<std::string> threads_of(const Item& item) {
  if constexpr (requires { Item::independent; }) return {};
  if constexpr (requires { item.thread(); }) return {item.thread()};
  return {form_word(item)};
}

Form days_form(const syntax::Timing& timing) {
  switch (timing.kind) {
    case syntax::Timing::Kind::start:
      return Form("at_start").put(timing.within);
    case syntax::Timing::Kind::days:
      return Form("on").put(timing.days).put(timing.within);
    case syntax::Timing::Kind::between:
      return Form("between").put(timing.from).put(timing.to).put(timing.within);
    case syntax::Timing::Kind::repeat:
      break;
  }
  return Form("every").put(timing.interval).put(timing.from).put(timing.to).put(timing.within);
}

/// What is not said has no place here: protocols are older than hours.
Form form_of(const syntax::Timing& timing) {
  Form out = days_form(timing);
  const syntax::Hours& hours = timing.hours;
  if (!hours.said()) return out;
  Form within("hours");
  within.put(hours.minute).put(hours.part).put(hours.first).put(hours.after).put(hours.overnight);
  return out.put(within);
}

/// A name behind `per` is mostly another supply, which is counted as far as it was used before.
bool counts_by_supply(const syntax::WorkItem& item) {
  const auto* use = std::get_if<syntax::Use>(&item);
  return use != nullptr &&
         ((use->share.per && use->share.per->kind == syntax::Formula::Kind::name) ||
          use->share.load);
}

/// The threads of what stands in a work: uses of one supply keep their order, all uses where one
/// counts by another.
std::set<std::string> threads_in(const std::vector<syntax::WorkItem>& items,
                                 const syntax::WorkItem& item) {
  const auto* use = std::get_if<syntax::Use>(&item);
  if (use == nullptr) return std::visit([](const auto& one) { return threads_of(one); }, item);
  const bool all = std::any_of(items.begin(), items.end(), counts_by_supply);
  return {all ? "use" : "use " + use->supply.text};
}

/// Writes what a statement says behind its word, in the order of its fields. A field of a type that
/// is unknown here does not compile.
class Writer {
 public:
  explicit Writer(Form& form) : form_(form) {}

  template <typename Field, typename... What>
  void operator()(const Field& field, What...) const {
    add(field);
  }

 private:
  template <typename Field>
  requires requires(Form& form, const Field& field) { form.put(field); }
  void add(const Field& field) const { form_.put(field); }
  /// What is written there is told by the condition.
  void add(const syntax::Written&) const {}
  template <typename Item>
  void add_as(std::string_view kind, const Item& item) const {
    Form out(kind);
    Item::fields(item, Writer(out));
    form_.put(out);
  }
  void add(const std::optional<syntax::Heat>& heat) const {
    if (heat) add_as("above", *heat);
  }
  /// Absent it leaves no trace: fingerprints are older than it.
  void add(const std::optional<syntax::Between>& between) const {
    if (between) add_as("batches", *between);
  }
  void add(const syntax::SpaceLevel& level) const { add_as("then", level); }
  void add(const std::vector<syntax::Pick>& picks) const {
    for (const syntax::Pick& one : picks) add_as("pick", one);
  }
  void add(const std::vector<syntax::Grade>& grades) const {
    for (const syntax::Grade& one : grades) add_as("grade", one);
  }
  void add(const std::optional<syntax::Footprint>& footprint) const {
    if (footprint) add_as("footprint", *footprint);
  }
  void add(const syntax::SeasonDay& day) const {
    const auto known = calendar::year_day(static_cast<unsigned>(day.day), day.month.text);
    Form out("day");
    out.put(day.day);
    form_.put(known ? out.put(static_cast<int>(known->month)) : out.put(day.month));
  }
  void add(const std::vector<syntax::TablePoint>& points) const {
    Form out("points");
    for (const syntax::TablePoint& point : points) {
      // Without a word the form is that of older editions.
      if (!point.word.text.empty()) out.put(point.word);
      syntax::TablePoint::fields(point, Writer(out));
    }
    form_.put(out);
  }
  void add(const std::vector<syntax::Hazard>& hazards) const {
    std::vector<Threaded> forms;
    for (const syntax::Hazard& one : hazards) {
      forms.push_back({Form("hazard").put(one.name).text(), {}});
    }
    form_.lines(in_order(forms));
  }
  void add(const std::vector<syntax::Work>& works) const;
  void add(const std::vector<syntax::WorkItem>& items) const;

  Form& form_;
};

template <typename Item>
Threaded item(const Item& one) {
  Form out(form_word(one));
  Item::fields(one, Writer(out));
  return {out.text(), threads_of(one)};
}

// Those that hold other statements.
Threaded item(const syntax::Work& work);
Threaded item(const syntax::Stage& stage);
Threaded item(const syntax::Repeat& repeat);

template <typename Items>
std::vector<Threaded> items(const Items& all) {
  std::vector<Threaded> out;
  for (const auto& one : all) {
    out.push_back(std::visit([](const auto& statement) { return item(statement); }, one));
  }
  return out;
}

std::vector<Threaded> threaded(const std::vector<syntax::WorkItem>& items) {
  std::vector<Threaded> all;
  for (const syntax::WorkItem& one : items) {
    all.push_back({std::visit([](const auto& statement) { return item(statement); }, one).form,
                   threads_in(items, one)});
  }
  return all;
}

void Writer::add(const std::vector<syntax::WorkItem>& items) const {
  form_.lines(in_order(threaded(items)));
}

Threaded item(const syntax::Work& work) {
  std::vector<Threaded> all = threaded(work.items);
  all.insert(all.begin(), {form_of(work.timing).text(), {}});
  return {Form(form_word(work)).put(work.title).lines(in_order(all)).text(), threads_of(work)};
}

void Writer::add(const std::vector<syntax::Work>& works) const {
  std::vector<std::string> forms;
  for (const syntax::Work& work : works) forms.push_back(item(work).form);
  form_.lines(forms);
}

Threaded item(const syntax::Stage& stage) {
  Form out(form_word(stage));
  out.put(stage.name).put(stage.title).put(stage.part).put(stage.joined);
  return {out.lines(in_order(items(stage.items))).text(), threads_of(stage)};
}

Threaded item(const syntax::Repeat& repeat) {
  std::vector<Threaded> stages;
  std::set<std::string> parts;
  for (const syntax::Stage& stage : repeat.stages) {
    stages.push_back(item(stage));
    parts.insert(stage.thread());
  }
  Form out(form_word(repeat));
  return {out.put(repeat.times).lines(in_order(stages)).text(), std::move(parts)};
}

// Rules

Form form_of(const syntax::ForEach& loop) {
  std::vector<Threaded> inner;
  for (const syntax::ForEach& one : loop.inner) inner.push_back({form_of(one).text(), {}});
  for (const syntax::Requirement& one : loop.requirements) inner.push_back(item(one));
  Form out(loop.steps ? "for_each_step" : "for_each");
  if (loop.steps) {
    out.put(loop.from).put(loop.to);
  } else {
    out.put(loop.selection);
  }
  return out.put(loop.where).lines(in_order(inner));
}

/// Each text behind the one before it.
void add_texts(std::vector<Threaded>& out, const char* kind,
               const std::vector<syntax::Text>& texts) {
  for (const syntax::Text& one : texts) out.push_back({Form(kind).put(one).text(), {kind}});
}

Threaded item(const syntax::Rule& rule) {
  std::vector<Threaded> items;
  add_texts(items, "source", rule.sources);
  add_texts(items, "note", rule.notes);
  for (const syntax::ForEach& one : rule.loops) items.push_back({form_of(one).text(), {}});
  for (const syntax::Requirement& one : rule.requirements) items.push_back(item(one));
  return {Form("rule").put(rule.name).put(rule.title).lines(in_order(items)).text(), {}};
}

}  // namespace

std::string canonical_text(const syntax::Protocol& protocol) {
  Form out("protocol");
  out.put(protocol.name).put(protocol.title).lines(in_order(items(protocol.items)));
  return std::string(protocol_form) + "\n" + out.text() + "\n";
}

std::string canonical_text(const syntax::Rules& rules) {
  std::vector<Threaded> items;
  if (rules.edition) items.push_back(item(*rules.edition));
  add_texts(items, "source", rules.sources);
  add_texts(items, "note", rules.notes);
  for (const syntax::Rule& one : rules.rules) items.push_back(item(one));
  Form out("rules");
  out.put(rules.name).put(rules.title).lines(in_order(items));
  return std::string(rules_form) + "\n" + out.text() + "\n";
}

std::string canonical_text(const syntax::Formula& formula) {
  return Form("formula").put(formula).text();
}

std::string fingerprint(const syntax::Protocol& protocol) {
  return digest::sha256(canonical_text(protocol));
}

std::string fingerprint(const syntax::Rules& rules) {
  return digest::sha256(canonical_text(rules));
}

std::string fingerprint(const syntax::Table& table) {
  syntax::Protocol alone;
  alone.items.emplace_back(table);
  return fingerprint(alone);
}

}  // namespace budwood::language
