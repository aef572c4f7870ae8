#include "book/recorded/fact_maker.hpp"

#include <algorithm>

#include "record/line.hpp"

namespace budwood::book {

namespace {

using record::What;

bool is_of_plants(const record::Entry& entry) {
  return entry.what == What::counted || entry.what == What::lost;
}

/// Whether an entry of plants tells of all of them: no sample; and no count of a tray, while what
/// was lost of a tray is lost.
bool tells_all(const record::Entry& entry) {
  return entry.number && !entry.of && (entry.tray.empty() || entry.what == What::lost);
}

bool same_work(const record::Entry& one, const record::Entry& other) {
  return one.what == other.what && (one.what == What::left_out || one.day == other.day) &&
         one.number == other.number && one.of == other.of;
}

}  // namespace

bool is_fact(const record::Entry& entry) {
  return entry.what == What::started || entry.what == What::ended || entry.what == What::done ||
         entry.what == What::left_out || entry.what == What::stopped ||
         (is_of_plants(entry) && tells_all(entry));
}

void FactMaker::take(const Noted& line) {
  switch (line.entry->what) {
    case What::started:
    case What::ended:
      return date(line);
    case What::done:
      return done(line);
    case What::left_out:
      return left_out(line);
    case What::stopped:
      return stopped(line);
    case What::counted:
    case What::lost:
      return plants(line);
    default:
      return;
  }
}

void FactMaker::differs(const text::Span& before, const Noted& now) {
  text::Diagnostic d;
  d.severity = text::Severity::warning;
  d.code = "record-differs";
  d.span = now.span;
  // Of all cultivars of a batch it is told once, because it is the same for each.
  d.message =
      "Batch `" + now.entry->batch + "`: this was told otherwise before; the plan goes by this.";
  d.advice =
      "Take what is wrong out: `budwood record BOOK \"withdraw ENTRY ...\"`, or the key in "
      "batches.yaml.";
  d.related.push_back({before, "told otherwise here"});
  diagnostics_.add(std::move(d));
}

void FactMaker::date(const Noted& line) {
  Pin pin;
  pin.stage = std::string(record::stage_of(*line.entry));
  pin.side = line.entry->what == What::started ? Pin::Side::start : Pin::Side::end;
  pin.day = line.entry->day;
  pin.span = line.span;
  pin.recorded = true;
  std::erase_if(batch_.pins, [&](const Pin& old) {
    const bool same = old.stage == pin.stage && old.side == pin.side;
    if (same && old.recorded && old.day != pin.day) differs(old.span, line);
    return same;
  });
  batch_.pins.push_back(pin);
}

void FactMaker::done(const Noted& line) {
  const record::Entry& entry = *line.entry;
  const auto [found, fresh] = orders_.try_emplace(entry.place, line);
  if (!fresh) {
    if (!same_work(*found->second.entry, entry)) differs(found->second.span, line);
    std::erase_if(batch_.left_out, [&](const OrderDay& old) { return old.order == entry.place; });
    found->second = line;
  }
  const auto old =
      fresh && !told_in_book_
          ? batch_.done.end()
          : std::find_if(batch_.done.begin(), batch_.done.end(),
                         [&](const OrderDay& one) { return one.order == entry.place; });
  // What was done in one tray, or of a sample, is not all of it.
  const auto plants = entry.of || !entry.tray.empty() ? std::nullopt : entry.number;
  if (old == batch_.done.end()) {
    batch_.done.push_back({entry.place, entry.day, line.span, plants});
    return;
  }
  if (fresh && old->day != entry.day) differs(old->span, line);  // of batches.yaml
  *old = {entry.place, entry.day, line.span, plants};
}

/// A whole stage or work is left out as far as it was not done: that takes nothing back.
void FactMaker::left_out(const Noted& line) {
  const record::Entry& entry = *line.entry;
  if (record::is_order(entry.place)) {
    const auto [found, first] = orders_.try_emplace(entry.place, line);
    if (!first && !same_work(*found->second.entry, entry)) differs(found->second.span, line);
    found->second = line;
    std::erase_if(batch_.done, [&, fresh = first](const OrderDay& old) {
      const bool same = old.order == entry.place;
      if (same && fresh) differs(old.span, line);  // of batches.yaml
      return same;
    });
  }
  std::erase_if(batch_.left_out, [&](const OrderDay& old) { return old.order == entry.place; });
  batch_.left_out.push_back({entry.place, entry.day, line.span});
}

void FactMaker::stopped(const Noted& line) {
  if (stopped_.entry != nullptr && stopped_.entry->day != line.entry->day) {
    differs(stopped_.span, line);
  }
  stopped_ = line;
  batch_.stopped = Placed<calendar::Day>{line.entry->day, line.span};
  batch_.stopped_because = line.entry->words;
}

void FactMaker::plants(const Noted& line) {
  if (!tells_all(*line.entry)) return;
  if (line.entry->batch == batch_.id.value && !line.entry->name.empty()) {
    return grade(line);
  }
  if (line.entry->batch == batch_.id.value) {
    plants_[std::string(record::stage_of(*line.entry))].push_back(line);
    return;
  }
  diagnostics_.warning("two-counts", line.span,
                       "Of which cultivar of batch `" + line.entry->batch +
                           "` these plants are is not known: the plan passes them over.",
                       "Note them for each cultivar, such as `" + batch_.id.value + "`.");
}

/// The last count of a grade holds; of one day the one noted last.
void FactMaker::grade(const Noted& line) {
  const record::Entry& entry = *line.entry;
  const auto [found, fresh] =
      grades_.try_emplace({std::string(record::stage_of(entry)), entry.name}, line);
  if (fresh) return;
  const record::Entry& before = *found->second.entry;
  if (before.day > entry.day) return;
  if (before.day == entry.day && before.number != entry.number) differs(found->second.span, line);
  found->second = line;
}

/// By day, of one day as noted: the last count holds, less what was lost since.
void FactMaker::count(const std::string& stage, std::vector<Noted>& lines) {
  std::stable_sort(lines.begin(), lines.end(), [](const Noted& one, const Noted& other) {
    return one.entry->day < other.entry->day;
  });
  Count there{stage, 0, {}};
  const Noted* counted = nullptr;
  double lost = 0;
  for (const Noted& line : lines) {
    const double number = *line.entry->number;
    if (line.entry->what == What::counted) {
      if (counted != nullptr && counted->entry->day == line.entry->day &&
          *counted->entry->number != number) {
        differs(counted->span, line);
      }
      counted = &line;
      there.plants = static_cast<std::int64_t>(number);
    } else if (counted != nullptr) {
      there.plants -= std::min(there.plants, static_cast<std::int64_t>(number));
    } else {
      lost += number;
    }
    there.span = line.span;
  }
  if (counted == nullptr) return uncounted(stage, lost, there.span);
  const auto old = std::find_if(batch_.counted.begin(), batch_.counted.end(),
                                [&](const Count& one) { return one.stage == stage; });
  if (old == batch_.counted.end()) {
    batch_.counted.push_back(there);
    return;
  }
  if (old->plants != there.plants) differs(old->span, *counted);
  *old = there;
}

/// What was lost of an unknown number leaves one: the plan says so instead of guessing.
void FactMaker::uncounted(const std::string& stage, double lost, const text::Span& span) {
  const std::string place = batch_.id.value + (stage.empty() ? "" : "/" + stage);
  diagnostics_.note("lost-uncounted", span,
                    "Batch `" + batch_.id.value + "`: " + record::number_text(lost) +
                        (stage.empty() ? " plants were lost of no stage"
                                       : " plants of `" + stage + "` were lost before a count") +
                        "; the plan goes on with as many as were expected.",
                    "Count what is left: `budwood record BOOK \"" + place +
                        (stage.empty() ? "/STAGE" : "") + " counted ...\"`.");
}

void FactMaker::finish() {
  for (auto& [stage, lines] : plants_) count(stage, lines);
  for (const auto& [what, line] : grades_) {
    const auto plants = static_cast<std::int64_t>(*line.entry->number);
    batch_.graded.push_back({what.first, what.second, plants, line.span});
  }
}

}  // namespace budwood::book
